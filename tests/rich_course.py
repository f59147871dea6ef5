"""A small course that has something of everything that can be written: every work, every group, every kind of text."""

from __future__ import annotations

from pathlib import Path

from tests.small_course import write_course

COURSE = """\
title: Ring cowl
host: Ada Example
place: The mill
edition: 2
summary: We knit **one** cowl.
film_size: Large
cautions: [Mind the hot iron.]
contact: ada@example.org
address: https://example.org/cowl
copyright: Ada, for your own knitting
tools:
  scissors: {what: sharp ones}
  markers: {what: three, also: marker}
  both: {holds: "scissors, markers"}
knitters:
  - {name: Bo, pace: 25, hours_per_week: 20}
shoot:
  - day: 2027-03-06
    call: 9:00
    wrap: 19:00
    place: Upstairs
    helpers: Bo
    films: [1]
release: {first: 2027-04-01}
kit:
  holds: [MC, {what: markers, number: 2, price: 1, grams: 2}]
  kits: [{number: 3, size: Large}]
  currency: €
"""
PATTERN = """\
title: Ring cowl
sizes: [{name: Small, fits: a small head}, {name: Large, fits: a large head}]
gauge: {stitches: 20, rounds: 28, fabric: stockinette, needle: 4 mm}
needles: [4 mm circular]
notions: [darning needle]
tools: [a hook]
skill: knit and purl
options:
  trim: {choices: cord or ribbon, kit: {ribbon: [a ribbon]}}
yarns:
  MC: {name: Plain wool, colour: grey, weight: DK, metres: 200, grams: 100, fibre: wool, care: wash by hand}
  CC: {name: Red wool, colour: red, metres: 200, grams: 100, fibre: wool}
materials:
  wax: {name: beeswax, details: a lump}
charts:
  dots: {colours: {o: MC, x: CC}, rows: [xooo, ooxo]}
stages:
  body:
    title: Body
    worked_on: circular
    watch_for: Count now.
    works:
      - {cast_on: 40 (44), join: yes, method: long-tail, note: Loosely., before: Swatch.}
      - {rounds: 4, lines: "*K1, p1; rep from * to end", note: Snug.}
      - {point: ribbed, note: A point.}
      - {increase: 4, by: m1l, note: Even.}
      - {decrease: 4, note: Even too.}
      - {rounds: 2, chart: dots, note: Floats.}
      - {placeholder: 8, name: pocket, note: Waste yarn.}
      - {lifeline: all, note: A line.}
      - {rounds: 3, lines: Knit, note: Plain.}
      - {hold: 8, name: thumb, note: On hold.}
      - {half_round: Knit, note: Half.}
      - {rounds: 2 cm, lines: Knit, as_you_like: 1 to 3 cm}
      - {graft: all, note: Grafted.}
  thumb:
    title: Thumb
    after: body
    works:
      - {take_up: thumb, note: Back on.}
      - {pick_up: 2, along: the gap, note: Close it.}
      - {rounds: 3, lines: Knit}
      - {draw_through: all, note: Pull.}
  pocket:
    title: Pocket
    after: body
    works:
      - {open: pocket, note: Pull it out.}
      - {rounds: 2, lines: Knit}
      - {bind_off: all, method: loose, note: Loose.}
  trim:
    title: Trim
    after: [thumb, pocket]
    when: cord
    works:
      - {cord: 20 cm, note: Long.}
      - {sew: 10 cm, what: the seam, note: Small stitches.}
  finish:
    title: Finish
    after: [thumb, pocket, trim]
    optional: yes
    works:
      - {weave_ends: 4, note: Four.}
      - {block: 10 min, drying: 2 h, method: wet, note: Flat.}
      - {minutes: 5, what: rub it with wax, uses: wax 10 g, note: Thin.}
      - {units: 2, unit: button, each: 2 min, what: sew it on, note: Firm.}
"""
EPISODE = """\
episode: 1
title: All of it
summary: Everything in one go.
segments:
  - title: The edge
    watch_for: No twist.
    handout: Use any cast-on.
    shots:
      - view: overhead
        title: The cast-on
        pieces:
          - {needs: before body, leaves: body round 1, name: the first, note: A long tail., spare: 1}
        tools: both
        hands:
          - {work: "k1, p1"}
          - {do: join, time: 20 s}
        say: We cast on {{ body.cast_on }} stitches.
        must_say: Do not twist.
        mentions: ["another video: How to wind wool", the kit]
        on_screen: [Then the body]
        cues: [{show: Count twice, at: the start}]
        notes: {host: Slowly., knitter: A long tail., editor: Speed up., helper: Hold it.}
        note: Again.
      - view: face
        pieces: [{shows: body or later, kinds: "full"}]
        points: ["why it was washed, 20 s"]
        note: Smile.
  - title: The end
    shots:
      - view: overhead
        pieces: [{needs: body round 4, note: Loose., spare: 1}]
        hands: [{do: show the ribs, time: 20 s}]
      - view: face
        pieces: [{needs: finished}]
        hands: [{do: hold it up, time: 20 s}]
        say: That is all, and thank you.
        notes: {host: Smile., editor: Fade., helper: Lights.}
kept:
  wind wool: in the description
"""
ERRATA = """\
errata:
  - {found: 2027-05-01, by: Tove, role: viewer, where: shot 1.1.1, said: thirty, right: forty, remedy: pinned note}
  - {found: 2027-05-02, by: Ida, role: tester, where: handout page 2, said: ten, right: "{{ body.cast_on }}",
     remedy: new handout, state: mended, mended_in: 2}
"""


def write_rich(folder: Path) -> Path:
    """Write the course; nothing of it is agreed, filmed or published."""
    files = {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE, "errata.yaml": ERRATA}
    return write_course(folder, files)
