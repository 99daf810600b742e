#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads the strokes of a PDF without the program that drew it: page boxes and content streams after ISO 32000-1,
sections 7.3.8 (streams), 8.3.4 (matrices), 8.5.2 (paths). Prints, in millimetres from the lower left of each page:
  page NUMBER WIDTH HEIGHT
  line NUMBER X1 Y1 X2 Y2 PEN
  curve NUMBER X0 Y0 X1 Y1 X2 Y2 X3 Y3 PEN
"""
import re
import sys
import zlib

MM = 25.4 / 72.0


def objects(data):
    out = {}
    for match in re.finditer(rb"(\d+) 0 obj\b(.*?)\bendobj", data, re.S):
        out[int(match.group(1))] = match.group(2)
    return out


def inflated(body):
    start = body.index(b"stream") + len(b"stream")
    start += 2 if body[start : start + 2] == b"\r\n" else 1
    raw = body[start : body.rindex(b"endstream")]
    return zlib.decompressobj().decompress(raw) if b"FlateDecode" in body[:start] else raw


def times(a, b):
    """a, then b: [x y 1] a b."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5],
    )


class Strokes:
    def __init__(self, page, height):
        self.page, self.height = page, height
        self.matrix, self.pen, self.stack = (1, 0, 0, 1, 0, 0), 1.0, []
        self.path, self.at, self.start = [], None, None

    def place(self, x, y):
        m = self.matrix
        return ((x * m[0] + y * m[2] + m[4]) * MM, (x * m[1] + y * m[3] + m[5]) * MM)

    def stroke(self):
        m = self.matrix
        pen = self.pen * abs(m[0] * m[3] - m[1] * m[2]) ** 0.5 * MM
        for kind, points in self.path:
            print(kind, self.page, *("%.4f" % c for p in points for c in p), "%.3f" % pen)

    def run(self, content):
        numbers = []
        for token in re.findall(rb"\[[^\]]*\]|<[0-9A-Fa-f]*>|\((?:\\.|[^\\)])*\)|[^\s\[\]<>()]+", content):
            try:
                numbers.append(float(token))
                continue
            except ValueError:
                pass
            self.operate(token, numbers)
            numbers = []

    def operate(self, op, n):
        if op == b"q":
            self.stack.append((self.matrix, self.pen))
        elif op == b"Q":
            self.matrix, self.pen = self.stack.pop()
        elif op == b"cm":
            self.matrix = times(tuple(n[-6:]), self.matrix)
        elif op == b"w":
            self.pen = n[-1]
        elif op == b"m":
            self.at = self.start = self.place(*n[-2:])
        elif op == b"l":
            to = self.place(*n[-2:])
            self.path.append(("line", (self.at, to)))
            self.at = to
        elif op == b"c":
            points = [self.place(*n[i : i + 2]) for i in (0, 2, 4)]
            self.path.append(("curve", (self.at, *points)))
            self.at = points[-1]
        elif op == b"re":
            x, y, w, h = n[-4:]
            corners = [self.place(*c) for c in ((x, y), (x + w, y), (x + w, y + h), (x, y + h))]
            self.path += [("line", (a, b)) for a, b in zip(corners, corners[1:] + corners[:1])]
            self.at = self.start = corners[0]
        elif op == b"h":
            if self.at != self.start:
                self.path.append(("line", (self.at, self.start)))
            self.at = self.start
        elif op in (b"S", b"B", b"B*"):
            self.stroke()
            self.path = []
        elif op in (b"f", b"f*", b"n"):
            self.path = []


def main(path):
    with open(path, "rb") as file:
        data = file.read()
    known = objects(data)
    kids = next(b for b in known.values() if re.search(rb"/Type\s*/Pages", b))
    numbers = [int(k) for k in re.findall(rb"(\d+) 0 R", re.search(rb"/Kids\s*\[(.*?)\]", kids, re.S).group(1))]
    for index, number in enumerate(numbers, 1):
        body = known[number]
        box = [float(v) for v in re.search(rb"/MediaBox\s*\[(.*?)\]", body, re.S).group(1).split()]
        print("page", index, "%.4f" % ((box[2] - box[0]) * MM), "%.4f" % ((box[3] - box[1]) * MM))
        for content in re.findall(rb"/Contents\s*(\d+) 0 R", body):
            Strokes(index, box[3]).run(inflated(known[int(content)]))


main(sys.argv[1])
