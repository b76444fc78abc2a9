"""Headless Chromium, driven through its debugging pipe (Chrome DevTools Protocol): nothing but the standard library."""
import base64
import fcntl
import json
import os
import select
import shutil
import subprocess
import sys
import tempfile
import time
import unittest


def find_chromium():
    return shutil.which("chromium") or shutil.which("chromium-browser")


class Browser:
    """One page at a time. Remembers what it asked for and what went wrong in it."""

    def __init__(self, chromium):
        self.profile = tempfile.TemporaryDirectory(prefix="firmus-browser-", ignore_cleanup_errors=True)
        to_it, self.write_fd = os.pipe()
        self.read_fd, from_it = os.pipe()
        # The browser reads descriptor 3 and writes 4; out of the way until they are put there.
        high_in, high_out = (fcntl.fcntl(fd, fcntl.F_DUPFD, 20) for fd in (to_it, from_it))
        flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
                 "--disable-component-update", "--disable-smooth-scrolling", "--hide-scrollbars", "--remote-debugging-pipe",
                 f"--user-data-dir={self.profile.name}", "about:blank"]
        put = "import os, sys; os.dup2(int(sys.argv[1]), 3); os.dup2(int(sys.argv[2]), 4); os.execv(sys.argv[3], sys.argv[3:])"
        self.process = subprocess.Popen([sys.executable, "-c", put, str(high_in), str(high_out), chromium, *flags],
                                        pass_fds=(high_in, high_out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for fd in (to_it, from_it, high_in, high_out):
            os.close(fd)
        self.buffer, self.last_id, self.events, self.session = b"", 0, [], None
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(domain + ".enable")

    def close(self):
        self.process.terminate()
        self.process.wait(20)
        os.close(self.read_fd)
        os.close(self.write_fd)
        self.profile.cleanup()

    def receive(self, deadline):
        while b"\0" not in self.buffer:
            if not select.select([self.read_fd], [], [], max(0, deadline - time.monotonic()))[0]:
                raise TimeoutError("the browser does not answer")
            block = os.read(self.read_fd, 1 << 20)
            if not block:
                raise RuntimeError("the browser has ended")
            self.buffer += block
        message, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(message)

    def call(self, method, timeout=120, **parameters):
        self.last_id += 1
        message = {"id": self.last_id, "method": method, "params": parameters}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.write_fd, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + timeout
        while True:
            answer = self.receive(deadline)
            if answer.get("id") == self.last_id:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def wait_for(self, method, timeout=60):
        deadline = time.monotonic() + timeout
        while not any(event.get("method") == method for event in self.events):
            self.events.append(self.receive(deadline))

    def open(self, url, width=900, height=1000):
        self.events.clear()
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        self.call("Page.navigate", url=url)
        self.wait_for("Page.loadEventFired")

    def value_of(self, expression):
        answer = self.call("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(json.dumps(answer["exceptionDetails"])[:500])
        return answer["result"].get("value")

    def press(self, key, code):
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, code=key, windowsVirtualKeyCode=code)

    def click(self, selector):
        """The middle of an element, with the mouse."""
        place = self.value_of(f"(() => {{ const e = document.querySelector('{selector}'); e.scrollIntoView({{block: 'center'}}); "
                              "const r = e.getBoundingClientRect(); return {x: r.x + r.width / 2, y: r.y + r.height / 2} })()")
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, button="left", clickCount=1, **place)

    def screenshot(self, clip=None):
        extra = {"clip": {**clip, "scale": 1}, "captureBeyondViewport": True} if clip else {}
        return base64.b64decode(self.call("Page.captureScreenshot", format="png", **extra)["data"])

    def asked_for(self):
        return [event["params"]["request"]["url"] for event in self.events if event.get("method") == "Network.requestWillBeSent"]

    def complaints(self):
        found = []
        for event in self.events:
            parameters = event.get("params", {})
            if event.get("method") == "Runtime.exceptionThrown":
                found.append(parameters["exceptionDetails"].get("text", "exception"))
            elif event.get("method") == "Log.entryAdded" and parameters["entry"]["level"] in ("error", "warning"):
                found.append(parameters["entry"]["text"])
            elif event.get("method") == "Runtime.consoleAPICalled" and parameters["type"] in ("error", "warning", "assert"):
                found.append(str(parameters["args"])[:200])
        return found


class PageCase(unittest.TestCase):
    """Tests of one page, opened anew for each. A class sets `page` and `browser`. Nothing but the page is asked for, nothing complains."""

    def setUp(self):
        self.browser.call("Emulation.setScriptExecutionDisabled", value=False)
        self.browser.open(self.page.as_uri())

    def choose_file(self, selector, path, ready):
        """The reader chooses a file of their own; waits until the expression `ready` holds."""
        document = self.browser.call("DOM.getDocument")["root"]["nodeId"]
        chooser = self.browser.call("DOM.querySelector", nodeId=document, selector=selector)["nodeId"]
        self.browser.call("DOM.setFileInputFiles", nodeId=chooser, files=[str(path)])
        deadline = time.monotonic() + 20
        while not self.browser.value_of(ready) and time.monotonic() < deadline:
            time.sleep(0.1)

    def tearDown(self):
        self.assertEqual(self.browser.complaints(), [])
        self.assertEqual(self.browser.asked_for(), [self.page.as_uri()])
