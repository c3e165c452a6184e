#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift report` and `lowlift jobcard` as files: whole or not there, the same bytes twice, one file
# that asks for nothing else, no script in it, no text of a scenario that becomes markup; figures
# that are those of `lowlift run`; blanks that nobody filled. In a browser: tests/page.sh.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

# A scenario that tries to be more than text, in what it says of itself too.
cat >evil.title <<'TITLE'
title: >-
  </p><script>alert(1)</script><img src=x onerror=alert(1)>&"'
TITLE
sed -e '/^title: /{r evil.title' -e 'd}' "$decline" >evil.yaml
cat >>evil.yaml <<'MORE'
document:
  customer: "<b>Nobody & Sons</b>"
  question: "Is it <i>the port</i>?"
observed:
  - {flow: 0.15 MMscf/d, seen: hits its seat}
MORE

# Pages are long: searched by a program that is quick at it.
has() { # FILE TEXT
    grep -qF -- "$2" "$1" || fail "$1 does not say '$2'"
}

run 0 report --study stability --set 'friction.kinetic=6 lbf' evil.yaml
says out 'wrote lowlift-out/evil.report.html'
is_empty err
run 0 report --quiet --study stability --set 'friction.kinetic=6 lbf' --out again evil.yaml
is_empty out
same lowlift-out/evil.report.html again/evil.report.html
run 0 jobcard --brief --from full --to reduced evil.yaml
says out 'wrote lowlift-out/evil.jobcard.html'
# Values that do otherwise than was seen make no card of that regulator; a run is enough to say so.
sed 's/seen: hits its seat/seen: quiet/' evil.yaml >otherwise.yaml
run 0 jobcard --brief --quiet --from full --to reduced otherwise.yaml
has lowlift-out/otherwise.jobcard.html 'was seen'
has lowlift-out/otherwise.jobcard.html 'lowlift match'
run 0 jobcard --brief --quiet --from full --to reduced --out again evil.yaml
same lowlift-out/evil.jobcard.html again/evil.jobcard.html
no_leftovers lowlift-out

report='lowlift-out/evil.report.html'
card='lowlift-out/evil.jobcard.html'
for page in "$report" "$card"; do
    has "$page" '&lt;script&gt;alert(1)'
    has "$page" '<dd>&lt;b&gt;Nobody &amp; Sons'
done
# The scenario that is in the report is the scenario.
python3 - "$report" "$card" <<'PYTHON' || fail 'see above'
import base64, html, html.parser, re, sys

class Page(html.parser.HTMLParser):
    VOID = {"meta", "img", "br"}

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.count, self.policy, self.pictures = [], {}, None, []

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        self.count[tag] = self.count.get(tag, 0) + 1
        for name, value in attributes.items():
            assert not name.startswith("on") and name != "style", (tag, name)
            if name in ("src", "href"):
                assert value.startswith("#") or tag == "img" and value.startswith("data:image/svg+xml;base64,"), value
        if tag == "img":
            assert len(attributes["alt"]) > 40, attributes["alt"]
            self.pictures.append(base64.b64decode(attributes["src"].split(",", 1)[1]).decode())
        if attributes.get("http-equiv") == "Content-Security-Policy":
            self.policy = attributes["content"]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, (tag, self.open)
        self.open.pop()

for name in sys.argv[1:]:
    text = open(name, encoding="utf-8").read()
    page = Page()
    page.feed(text)
    page.close()
    assert page.open == [], (name, page.open)
    assert page.policy.startswith("default-src 'none';") and "unsafe-inline" not in page.policy, page.policy
    assert "script" not in page.count and "i" not in page.count, page.count
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f]", text), name
    assert "{{" not in text, name
    for picture in page.pictures:
        assert picture.rstrip().endswith("</svg>") and "<script" not in picture, name
    if name == sys.argv[1]:
        scenario = html.unescape(re.findall(r"(?s)<pre>(.*?)</pre>", text)[-1])
        assert scenario == open("evil.yaml", encoding="utf-8").read(), "another scenario in the report"
PYTHON

# The answer is that of the run, and the report has what made it.
has "$report" 'Is it &lt;i&gt;the port&lt;/i&gt;?'
run 0 run --quiet --trim full --set 'friction.kinetic=6 lbf' --out one --no-plot evil.yaml
swing=$(python3 -c "
import json
print('%.4g psi' % json.load(open('one/evil.full.json'))['runs'][0]['pressure_swing']['value'])")
has "$report" "<td class=\"number\">$swing</td>"
has "$report" 'lowlift report --study stability --set &#39;friction.kinetic=6 lbf&#39; evil.yaml'
has "$report" 'friction.kinetic'
has "$report" 'Have the relief capacity checked again'
hash=$(sha256sum <evil.yaml)
has "$report" "${hash%% *}"

# The card: what is changed, seen, expected; readings by the fields that take them; safety.
for text in '<td>2.9 in</td><td>1 1/2 in</td>' 'hits its seat' 'twice today&#39;s' \
    '<code>readings.first_movement</code></th><td class="hand"></td>' 'Trapped pressure' 'H2S' \
    'lowlift knows no part number and no torque' 'licensed' 'Return to service'; do
    has "$card" "$text"
done

# Of trims that are named, over draws: shares lead, and the runs of the scenario as it stands follow.
printf 'weight,friction.kinetic\n0.5,5 lbf\n0.5,8 lbf\n' >few.csv
run 0 report --quiet --trim reduced --draws few.csv --at-most 2 --set 'run.duration=5 s' "$decline"
has lowlift-out/decline.report.html 'In how many of the regulators'
has lowlift-out/decline.report.html 'of the regulators that fit'
has lowlift-out/decline.report.html 'lowlift report --draws &#39;few.csv&#39; --at-most &#39;2&#39; --trim &#39;reduced&#39;'
[ "$(grep -c '<img' lowlift-out/decline.report.html)" -eq 2 ] || fail 'not two pictures'
run 2 report --draws 5 --out none "$decline"
says err "--draws: found '5'"
absent none/decline.report.html

# What answers about one trim at a time is asked about each that is named, all of which lead. What
# drives the motion is told in words.
run 0 report --quiet --study remedies --trim full --trim reduced --draws few.csv --at-most 1 \
    --set 'run.duration=1 s' --out each "$decline"
for text in '<h2>Trim full. What can be done about it' '<h2>Trim reduced. What can be done about it' \
    'class="said-first">Trim full, as it stands' '. Trim reduced, as it stands' 'What drives trim full:</b>'; do
    has each/decline.report.html "$text"
done

# What a user gets wrong.
run 2 report
says err 'no scenario file named'
run 2 report --study trim "$decline"
says err "did you mean 'trims'?"
run 3 report --out refused scenarios/refused.yaml
absent refused/refused.report.html
run 3 report --study trims --out none "$decline" # states no envelope
absent none/decline.report.html
run 2 jobcard --from full --to full "$decline"
says err 'found the same trim twice'
run 3 jobcard --from ful --to reduced "$decline"
says err "full"
run 2 jobcard --trim full "$decline"
run 2 jobcard scenarios/envelope.yaml
says err 'name the one that goes in with --to'
run 2 jobcard --brief --lowest 0 --out none "$decline"
mkdir empty
LOWLIFT_PLOTS_DIR=empty run 5 jobcard --brief --out none "$decline"
absent none/decline.jobcard.html
no_leftovers .

finish
