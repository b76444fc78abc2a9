"""How much of a PNG (8 bits, RGB or RGBA, not interlaced, as browsers make them) is not white."""
import struct
import zlib


def rows_of(png):
    """Rows of bytes, and bytes a pixel."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    at, data, width, height, kind = 8, b"", 0, 0, 0
    while at < len(png):
        length, = struct.unpack(">I", png[at:at + 4])
        name, body = png[at + 4:at + 8], png[at + 8:at + 8 + length]
        if name == b"IHDR":
            width, height, depth, kind = struct.unpack(">IIBB", body[:10])
            assert depth == 8 and kind in (2, 6)
        elif name == b"IDAT":
            data += body
        at += 12 + length
    size = 3 if kind == 2 else 4
    raw, stride, before, rows = zlib.decompress(data), width * size, bytearray(width * size), []
    for y in range(height):
        how, line = raw[y * (stride + 1)], bytearray(raw[y * (stride + 1) + 1:(y + 1) * (stride + 1)])
        for x in range(stride):
            left, up, corner = (line[x - size] if x >= size else 0), before[x], (before[x - size] if x >= size else 0)
            if how == 1:
                line[x] = (line[x] + left) & 255
            elif how == 2:
                line[x] = (line[x] + up) & 255
            elif how == 3:
                line[x] = (line[x] + (left + up) // 2) & 255
            elif how == 4:
                guess = left + up - corner
                nearest = min((abs(guess - left), 0, left), (abs(guess - up), 1, up), (abs(guess - corner), 2, corner))[2]
                line[x] = (line[x] + nearest) & 255
        rows.append(line)
        before = line
    return rows, size


def dark_share(png):
    """Share of pixels darker than a light grey."""
    rows, size = rows_of(png)
    dark = sum(1 for row in rows for x in range(0, len(row), size) if max(row[x:x + 3]) < 200)
    return dark / max(1, sum(len(row) // size for row in rows))
