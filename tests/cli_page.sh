#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift page` and `lowlift lesson` as files: whole or not there, the same bytes twice, one file
# that asks for nothing else, its policy naming just its own scripts, and no text of a scenario that
# becomes markup. What they do in a browser: tests/page.sh.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

run 0 page "$decline"
says out 'wrote lowlift-out/decline.page.html'
is_empty err
exists lowlift-out/decline.page.html
no_leftovers lowlift-out
run 0 page --quiet --out again "$decline"
is_empty out
same lowlift-out/decline.page.html again/decline.page.html

# What a user gets wrong.
run 2 page
says err 'no scenario file named'
run 2 page "$decline" "$decline"
says err 'allowed one scenario at a time'
run 2 page --plot png "$decline"
run 3 page nowhere.yaml
run 3 page --out refused scenarios/refused.yaml
matches err 'scenarios/refused.yaml:[0-9]+:[0-9]+: '
absent refused/refused.page.html
run 3 page --trim ful "$decline"
says err "full"
run 2 lesson "$decline"
says err 'allowed options only'
mkdir empty
LOWLIFT_PLOTS_DIR=empty run 5 page --out none "$decline"
says err 'no live.html in empty'
absent none/decline.page.html
mkdir broken && cp "$source_root"/plots/* broken
head -c 100000 /dev/zero | tr '\0' 'x' >broken/live.js
printf '</script>' >>broken/live.js
LOWLIFT_PLOTS_DIR=broken run 5 page --out none "$decline"
absent none/decline.page.html
no_leftovers .

# A scenario that tries to be more than text, with a change from the command line.
# Its title, as a block of text of YAML.
cat >evil.title <<'TITLE'
title: >-
  </script><script>alert(1)</script><img src=x onerror=alert(1)>&"'
TITLE
sed -e '/^title: /{r evil.title' -e 'd}' "$decline" >evil.yaml
run 0 page --set 'friction.kinetic=6 lbf' --out evil evil.yaml
python3 - lowlift-out/decline.page.html evil/evil.page.html <<'PYTHON' || fail 'see above'
import base64, hashlib, html.parser, json, re, sys

class Page(html.parser.HTMLParser):
    VOID = {"meta", "input", "img", "br", "hr", "link"}

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.blocks, self.policy, self.count = [], [], None, {}

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        self.count[tag] = self.count.get(tag, 0) + 1
        for name, value in attributes.items():
            assert not name.startswith("on") and name != "style", (tag, name)
            assert name not in ("src", "href") or value.startswith("#"), (tag, name, value)
        if attributes.get("http-equiv") == "Content-Security-Policy":
            self.policy = attributes["content"]
        if tag in ("script", "style"):
            self.blocks.append([tag, attributes.get("type"), attributes.get("id"), ""])
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, (tag, self.open)
        self.open.pop()

    def handle_data(self, data):
        if self.open and self.open[-1] in ("script", "style"):
            self.blocks[-1][3] += data

for name in sys.argv[1:]:
    text = open(name, encoding="utf-8").read()
    page = Page()
    page.feed(text)
    page.close()
    assert page.open == [], page.open
    assert page.policy.startswith("default-src 'none';"), page.policy
    assert "unsafe-inline" not in page.policy and "unsafe-eval'" in page.policy.replace("wasm-", "", 1)
    assert "'unsafe-eval'" not in page.policy
    runs = {"script": [], "style": []}
    for tag, kind, _, body in page.blocks:
        if kind is None:
            digest = base64.b64encode(hashlib.sha256(body.encode()).digest()).decode()
            runs[tag].append(f"'sha256-{digest}'")
    for tag, hashes in runs.items():
        named = re.findall(r"'sha256-[^']+'", re.search(rf"{tag}-src([^;]*)", page.policy).group(1))
        assert named == hashes and len(hashes) == 1, (tag, named, hashes)
    assert page.count["script"] == 4 and "img" not in page.count and "b" not in page.count, page.count
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f]", text)
    assert "{{" not in re.sub(r"(?s)<script.*?</script>", "", text)
    data = json.loads(next(body for _, kind, _, body in page.blocks if kind == "application/json"))
    assert [run["verdict"] for run in data["scenarios"][0]["runs"]] == ["slamming", "steady"]
    module = base64.b64decode(next(body for _, _, name, body in page.blocks if name == "module"))
    assert module[:4] == b"\0asm" and len(module) > 100000
PYTHON
says evil/evil.page.html '&lt;/script&gt;&lt;script&gt;alert(1)'

finish
