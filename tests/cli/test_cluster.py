#!/usr/bin/python3
"""The examples for a job array, run: Slurm on one node, GNU parallel. The same bytes as one run. Slow."""
import shutil
import socket
import time

import program
from class_folder import *
from program import *

EXAMPLES = pathlib.Path(__file__).resolve().parents[2] / "examples"
STUDENTS = [f"s{i:02}" for i in range(6)]


class Slurm:
    """A controller and a node of its own, in a folder, on ports of its own; munge for who is who."""

    def __init__(self, home):
        self.home = pathlib.Path(home)
        self.running = []
        host = socket.gethostname().split(".")[0]
        for name in ("state", "spool"):
            (self.home / name).mkdir()
        key = self.home / "munge.key"
        key.write_bytes(os.urandom(128))
        key.chmod(0o600)
        self.socket = self.home / "munge.socket"
        conf = self.home / "slurm.conf"
        conf.write_text("\n".join((
            "ClusterName=test", f"SlurmctldHost={host}(127.0.0.1)", f"SlurmUser={self.user()}", f"SlurmdUser={self.user()}",
            "AuthType=auth/munge", f"AuthInfo=socket={self.socket}", "CredType=cred/munge", f"SlurmctldPort={self.port()}",
            f"SlurmdPort={self.port()}", f"StateSaveLocation={self.home}/state", f"SlurmdSpoolDir={self.home}/spool",
            f"SlurmctldPidFile={self.home}/slurmctld.pid", f"SlurmdPidFile={self.home}/slurmd.pid",
            f"SlurmctldLogFile={self.home}/slurmctld.log", f"SlurmdLogFile={self.home}/slurmd.log", "ProctrackType=proctrack/linuxproc",
            "TaskPlugin=task/none", "SelectType=select/cons_tres", "SelectTypeParameters=CR_Core", "MailProg=/bin/true", "ReturnToService=2",
            "SchedulerParameters=sched_interval=1,batch_sched_delay=1", "MinJobAge=600",
            f"NodeName={host} NodeAddr=127.0.0.1 CPUs={os.cpu_count()} RealMemory=1000 State=UNKNOWN",
            f"PartitionName=all Nodes={host} Default=YES MaxTime=INFINITE State=UP", "")))
        self.environment = {**os.environ, "SLURM_CONF": str(conf)}

    @staticmethod
    def user():
        import pwd
        return pwd.getpwuid(os.getuid()).pw_name

    @staticmethod
    def port():
        with socket.socket() as one:
            one.bind(("127.0.0.1", 0))
            return one.getsockname()[1]

    def start(self, *line):
        with open(self.home / (os.path.basename(line[0]) + ".out"), "wb") as log:
            self.running.append(subprocess.Popen(line, stdout=log, stderr=log, env=self.environment))

    def stop(self, process):
        process.terminate()
        try:
            process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()

    def node_is_idle(self):
        for _ in range(40):
            state = subprocess.run(["sinfo", "-h", "-o", "%t"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=self.environment)
            if state.stdout.strip() == b"idle":
                return True
            if self.running[-1].poll() is not None:
                return False
            time.sleep(0.5)
        return False

    def up(self):
        """Empty when a job can be sent; else why not."""
        sbin = "/usr/sbin/"
        self.start(sbin + "munged", "--foreground", "--force", f"--key-file={self.home}/munge.key", f"--socket={self.socket}",
                   f"--pid-file={self.home}/munge.pid", f"--log-file={self.home}/munge.log", f"--seed-file={self.home}/munge.seed")
        time.sleep(1)
        self.start(sbin + "slurmctld", "-D")
        time.sleep(1)
        for plugin in ("disabled", "cgroup/v1", "autodetect"):  # what there is differs with version and machine
            (self.home / "cgroup.conf").write_text(f"CgroupPlugin={plugin}\n")
            self.start(sbin + "slurmd", "-D", "-N", socket.gethostname().split(".")[0])
            if self.node_is_idle():
                return ""
            self.stop(self.running.pop())
        last = (self.home / "slurmd.log").read_text(errors="replace").strip().splitlines()[-1:]
        return "no node came up" + "".join(": " + line for line in last)

    def down(self):
        for process in reversed(self.running):
            self.stop(process)


class Cluster(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        make_class("in", {f"{student}-kite.wav": 5 * place for place, student in enumerate(STUDENTS)})
        pathlib.Path("in/class.csv").write_text("student\n" + "\n".join(STUDENTS) + "\nabsent\n")
        pathlib.Path("in/a.json").write_text(json.dumps({"roster": "class.csv", "pieces": [{"id": "kite", "melody": "../lantern.melody"}]}))
        cls.done = run("grade", "in/a.json", "--out", "whole")
        cls.whole = tree("whole")

    def example(self, name, out, environment):
        done = subprocess.run([EXAMPLES / name / "grade.sh", "3", "in/a.json", out], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              env={**environment, "FIRMUS": program.PROGRAM}, timeout=300)
        self.assertEqual(done.returncode, self.done[0], done.stderr)
        self.assertEqual(done.stdout, self.done[1])
        self.assertEqual(different(self.whole, tree(out)), [])

    def test_gnu_parallel(self):
        if not shutil.which("parallel"):
            print("\nnot run: the example for GNU parallel: parallel is not installed")
            return
        self.example("gnu-parallel", "by-parallel", dict(os.environ))

    def test_a_slurm_array(self):
        missing = [name for name in ("sbatch", "/usr/sbin/slurmctld", "/usr/sbin/slurmd", "/usr/sbin/munged") if not shutil.which(name)]
        if missing:
            print(f"\nnot run: the example for Slurm: {', '.join(missing)} is not installed")
            return
        os.mkdir("slurm")
        slurm = Slurm(os.path.abspath("slurm"))
        try:
            why = slurm.up()
            if why:
                print(f"\nnot run: the example for Slurm: {why}")
                return
            self.example("slurm-array", "by-slurm", slurm.environment)
        finally:
            slurm.down()


if __name__ == "__main__":
    program.main()
