# SPDX-License-Identifier: GPL-3.0-or-later
# html_check.py FILE: fails unless the sheet is well-formed, is read aloud in order, and names nothing outside itself.
import re
import sys
import xml.etree.ElementTree as tree

text = open(sys.argv[1], encoding="utf-8").read()
wrong = []
root = tree.fromstring(text)  # raises where it is not well-formed
space = "{http://www.w3.org/1999/xhtml}"
elements = [(e.tag.replace(space, ""), e) for e in root.iter()]
names = [name for name, _ in elements]

allowed = set("html head meta title style body header main section nav footer h1 h2 h3 p div span b i ul ol li a "
              "figure figcaption img table caption thead tbody tr th td".split())
wrong += [f"element {name}" for name in set(names) - allowed]
for name, element in elements:
    for key, value in element.attrib.items():
        if key.startswith("on"):
            wrong.append(f"{name} has {key}")
        if key in ("src", "href") and not value.startswith(("data:image/png;base64,", "#")):
            wrong.append(f"{name} {key}={value[:40]}")
    if name == "img" and not element.get("alt"):
        wrong.append("img without alt")
    if name == "th" and element.get("scope") not in ("col", "row"):
        wrong.append("th without scope")
if re.search(r"url\(|@import|https?://(?!www\.w3\.org/1999/xhtml)", text):
    wrong.append("a reference to something outside")
for landmark in ("header", "main", "footer", "nav", "h1"):
    if names.count(landmark) != 1:
        wrong.append(f"{names.count(landmark)} x {landmark}")
if root.get("lang") != "en":
    wrong.append("no language")
levels = [int(name[1]) for name in names if re.fullmatch("h[1-6]", name)]
wrong += [f"heading jumps {a} to {b}" for a, b in zip(levels, levels[1:]) if b > a + 1]
ids = [e.get("id") for _, e in elements if e.get("id")]
if len(ids) != len(set(ids)):
    wrong.append("an id twice")
wrong += [f"no target for {e.get('href')}" for _, e in elements if e.get("href") and e.get("href")[1:] not in ids]
if not any(n == "meta" and e.get("name") == "viewport" for n, e in elements):
    wrong.append("no viewport")
print("\n".join(wrong) or f"{len(elements)} elements are sound")
sys.exit(1 if wrong else 0)
