"""Invented patterns as they are printed, and what a person finds in them with pencil and paper."""

from __future__ import annotations

HAT = """\
Larch Hat

A cosy hat, worked in the round from the brim up. The crown decreases form
a small star; choose a yarn that shows them well.

Sizes: S (M, L)
To fit head: 51 (55, 59) cm

MATERIALS
Yarn: 1 (1, 2) balls of worsted weight wool, 100 g / 200 m each
Needles: 4 mm circular needle, 40 cm long, and dpns
4 stitch markers
Gauge: 20 sts and 28 rnds = 10 cm in st st

ABBREVIATIONS
CO = cast on
k = knit
k2tog = knit 2 together
p = purl
rep = repeat
rnd(s) = round(s)
st(s) = stitch(es)

Brim
CO 80 (88, 96) sts. Join in the rnd, being careful not to twist.
Rnd 1: *K2, p2; rep from * to end of rnd.
Rnds 2-8: Rep Rnd 1.

Body
Change to larger needles.
Knit 30 (32, 34) rnds.

Crown
You will change to dpns when the stitches no longer fit.
Rnd 1: *K8 (9, 10), k2tog; rep from * to end. 72 (80, 88) sts.
Rnd 2: Knit.
Rnd 3: *K7 (8, 9), k2tog; rep from * to end. 64 (72, 80) sts.
Rnd 4: Knit.
Rnd 5: *K2tog; rep from * to end. 32 (36, 40) sts

Cut yarn, leaving a 20 cm tail, and thread it through the remaining stitches.
Pull tight and fasten off.

Finishing
Weave in all ends. Block gently.
"""

BACK = """\
# Heron Pullover

A boxy pullover worked flat in pieces from the bottom up and seamed.

## Sizes
XS (S, M, L)

Finished bust: 92 (100, 108, 116) cm

## Materials
- Fingering weight yarn: 5 (5, 6, 6) balls
- Needles: 3.25 mm and 3.75 mm

## Abbreviations
- **beg**: beginning
- **BO**: bind off
- **CO**: cast on
- **dec**: decrease
- **k**: knit
- **k2tog**: knit 2 sts together
- **p**: purl
- **rep**: repeat
- **RS / WS**: right side / wrong side
- **ssk**: slip, slip, knit
- **st(s)**: stitch(es)

## Back
With smaller needles, CO 102 (110, 118, 126) sts.

**Row 1 (RS):** K2, *p2, k2; rep from * to end.
**Row 2 (WS):** P2, *k2, p2; rep from * to end.

Repeat Rows 1 and 2 nine times more.
Change to larger needles. Knit 1 row, purl 1 row.

### Shape armholes
BO 5 (6, 7, 8) sts at the beginning of the next 2 rows. 92 (98, 104, 110) sts.
**Dec row (RS):** K1, ssk, k to last 3 sts, k2tog,
k1. (2 sts decreased)
**Next row:** Purl.
Repeat the last 2 rows 5 (6, 7, 8) times more. 80 (84, 88, 92) sts remain.

### Shape shoulders
BO 7 (7, 8, 8) sts at beg of next 4 rows, then 6 (7, 6, 7) sts at beg of next 2 rows. 40 (42, 44, 46) sts remain.
BO remaining sts for back neck.

## Front
Work as for Back.

## Finishing
Sew shoulder seams. Sew side seams in one. Weave in ends.
"""

MOTIF = """\
GRANNY SQUARE "MEADOW"

Hook: 4 mm
Yarn: DK in three colours

Stitches used
ch = chain
dc = double crochet
rep = repeat
sl st = slip stitch
sp = space
st(s) = stitch(es)

Ch 4, join with sl st to form a ring.
Round 1: Ch 3 (counts as first dc), 2 dc in ring, ch 2, [3 dc in ring, ch 2] 3 times, join with sl st in top of ch 3. (12 dc)
Round 2: Ch 3 (counts as dc), dc in next 2 sts, (2 dc, ch 2, 2 dc) in corner sp, *dc in next 3 sts, (2 dc, ch 2, 2 dc) in corner sp; rep from * twice more, join with sl st in top of ch 3. (28 dc)
Fasten off.
"""  # noqa: E501

MOUSE = """\
Pip the Mouse

Work in a continuous spiral; do not join rounds. Use a stitch marker to mark the first stitch.

Abbreviations
MR - magic ring
sc - single crochet
inc - 2 sc in the same stitch
dec - invisible decrease
rnd - round

Head (grey yarn)
Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnd 5-8: sc around (24)
Place the safety eyes between rnds 6 and 7.
Rnd 9: (2 sc, dec) x 6 (18)
Rnd 10: (sc, dec) x 6 (12)
Stuff firmly.
Rnd 11: dec x 6 (6)
Fasten off, leaving a long tail for sewing.

Ears (make 2)
R1: 6 sc in MR (6)
R2: inc x 6 (12)
Sl st in next st and fasten off.

Assembly
Sew the ears to the head at rnd 4.
"""

SCHAL = """\
Schal „Birke“

Ein schlichter Schal mit Rippen, in Reihen gestrickt.

Größe: Einheitsgröße, ca. 20 x 160 cm

Material
Wolle, 4 Knäuel à 50 g
Stricknadeln Nr. 4
Maschenprobe: 22 M und 30 R = 10 x 10 cm glatt re

Abkürzungen
abk = abketten
Hinr = Hinreihe
li = links
M = Masche(n)
R = Reihe(n)
re = rechts
RM = Randmasche
Rückr = Rückreihe
str = stricken
U = Umschlag
wdh = wiederholen
zun = zunehmen
zus = zusammen

Anleitung
46 M anschlagen.
1. R (Rückr): RM, *2 M li, 2 M re, ab * bis zur letzten M wdh, RM.
2. R (Hinr): RM, *2 M li, 2 M re; ab * bis zur letzten M wdh, RM.
R 3-10: 1. und 2. R wdh.
11. R: RM, 2 M re zus, re bis zu den letzten 3 M, 2 M re zus, RM. (44 M)
12. R: li.
13. R: RM, *1 U, 2 M re zus, ab * bis zur letzten M wdh, RM. = 44 M
14. R: alle M li str.
Die letzten 2 R noch 3x wdh.
15. R: RM, 1 M zun, re bis zur letzten M, 1 M zun, RM. (46 M)
Alle M locker abk.

Fertigstellen
Fäden vernähen. Schal anfeuchten, spannen und trocknen lassen.
"""

COWL = """\
Leaf Cowl

Chart A
(multiple of 8 sts)
Row 1: K1, yo, k2, ssk, k3.
Row 2: Knit.
Row 3: K2, yo, k2, ssk, k2.
Row 4: Knit.

Moss stitch
Row 1: *K1, p1; rep from * to end.
Row 2: *P1, k1; rep from * to end.

Cowl
CO 48 sts. Join in the round.
Rnds 1-3: Work in Moss stitch.
Work rows 1 to 4 of Chart A.
Work Chart A twice.
Rnds 1-6: Work Chart A.
Work Rows 3-4 of the chart 3 times. (48 sts)
Next rnd: K8, work Row 3 of Chart A over next 8 sts, k to end.
Next rnd: K8, work row 1 of chart A to last 8 sts, k8. (48 sts)
BO all sts.
"""

CARDIGAN = """\
# Harebell baby cardigan

A cardigan worked from the neck down, back and forth, in one piece.

Sizes: newborn (6 months, 12 months)

## Materials
Yarn: 4-ply wool, 50 g = 200 m: 2 (2, 3) balls harebell blue
Needles: 3.25 mm circular, 60 cm; 3.25 mm double pointed needles
Notions: 4 markers, waste yarn, 5 buttons of 12 mm, tapestry needle

Gauge: 26 sts and 36 rows to 10 cm in stocking stitch

## Yoke
Cast on 62 (66, 70) sts.
Set-up row (RS): K14 (14, 15), pm, k8 (10, 10), pm, k18 (18, 20), pm, k8 (10, 10), pm, k14 (14, 15).
Row 1 (WS): Purl.
Row 2 (RS): *Knit to 1 st before marker, kfb, sm, kfb; rep from * 3 more times, knit to end. 70 (74, 78) sts.
Rep Rows 1 and 2 another 13 (15, 17) times. 174 (194, 214) sts.

## Divide
Next row (RS): Knit to first marker, place next 36 (42, 46) sts on waste yarn, cast on 4 sts, knit to third marker,
place next 36 (42, 46) sts on waste yarn, cast on 4 sts, knit to end. 110 (118, 130) sts.

## Body
Row 1 (WS): Purl.
Bind off all sts.

## Sleeves
{sleeve}
Knit 6 rounds.
Dec round: K1, k2tog, knit to last 3 sts, ssk, k1. 38 (44, 48) sts.
Repeat Dec round every 8th round 3 (4, 5) times more. 32 (36, 38) sts.
Knit until the sleeve measures 13 (15, 18) cm.
Bind off all sts.
"""
"""From the top down: both sleeves wait on waste yarn, and each is taken up alone."""

SOCK = """\
# Rillside socks

Sizes: S (M, L)

Yarn: fingering weight sock yarn, 420 m per 100 g, 1 skein in moss
Needles: 2.25 mm circular needle, 80 cm, for magic loop
Gauge: 32 sts and 44 rnds to 10 cm in stockinette

## Foot
Cast on 56 (64, 72) sts. Join in the round.
Rnd 1: Knit.
Repeat rnd 1 until foot measures 16 (18, 20) cm.

## Heel
Work back and forth on the 28 (32, 36) sts of needle 1.
Row 1 (RS): Knit to last st, w&t.
Row 2 (WS): Purl to last st, w&t.
Row 3: Knit to 1 st before wrapped st, w&t.
Row 4: Purl to 1 st before wrapped st, w&t.
Rep rows 3 and 4 until 10 (12, 12) sts remain unwrapped in the middle.
Row 5: Knit to first wrapped st, knit it together with its wrap, turn.
Row 6: Purl to first wrapped st, purl it together with its wrap, turn.
Rep rows 5 and 6 until all wrapped sts have been worked.

## Leg
Rnd 1: *P1, k3; rep from * to end.
Repeat rnd 1 until leg measures 12 cm from heel.
Bind off all sts using a stretchy bind-off.
"""
"""A heel of short rows on half of a round; the other half waits and is worked again in the leg."""
