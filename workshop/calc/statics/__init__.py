"""Statics of the bow: brace, draw, strain, for two limbs alike or not.

A limb is an inextensible elastic line with its own unstrung shape, stiffness varying along it, clamped in
a rigid grip (of no length for a bow that bends through it); the string is inextensible. Every length is
taken on the limb's axis; `draws` converts draws and brace heights measured from the back, the belly or by
the trade standard.

A straight flatbow of 1.80 m between the nocks, 12 mm thick, from 45 to 12 mm wide, braced to 0.15 m:

    >>> import numpy as np
    >>> from workshop.calc.section import rectangle
    >>> from workshop.calc.statics import Bow, Limb, draw
    >>> wood = lambda width, depth: rectangle(width, depth).section(modulus_pa=10e9)
    >>> limb = Limb.dimensioned([0.10, 0.50, 0.90], [0.045, 0.030, 0.012], [0.012, 0.012, 0.012], wood)
    >>> drawn = draw(Bow(limb), [0.4, 0.5, 0.6, 0.7], brace_height_m=0.15)
    >>> print(", ".join(f"{force:.2f} N" for force in drawn.force_n))
    53.71 N, 70.61 N, 89.03 N, 110.00 N
    >>> strain, limb_name, from_middle_m, surface = drawn.most_strained()
    >>> f"{strain:.2f} % at the {surface} of the {limb_name} limb, {from_middle_m:.2f} m from the middle"
    '0.73 % at the back of the upper limb, 0.15 m from the middle'

`brace(bow, brace_height_m=...)` or `brace(bow, string_length_m=...)` strings it; `draw(...,
long_string_m=...)` hangs it with a slack string; `draw_batch` answers for many bows at once; `press` pushes
one limb at its nock. Two unlike limbs, `Bow(upper, lower, hand_above_middle_m, nocking_above_hand_m)`, turn
in the hand until the line of force passes through hand and nock; the answer says by how much.

Forces between measured stations come to 1e-5 of the full draw's or better, as far as stiffness, size and
shape are taken as given at the stations. Nothing is answered in silence: a draw that was not found, or is
not to be trusted, is NaN, its `ok` False, and `why` names the reason. Wrong questions raise a `CalcError`.
"""

from workshop.calc.statics.bow import Bending, Bow, Limb
from workshop.calc.statics.press import press
from workshop.calc.statics.results import Braced, Drawn, Pose
from workshop.calc.statics.solve import brace, draw, draw_batch

__all__ = ["Bending", "Bow", "Braced", "Drawn", "Limb", "Pose", "brace", "draw", "draw_batch", "press"]
