"""What the trade's old units are in SI, exact by definition (NIST SP 811, appendix B.8).

The rules of thumb, the spine conventions and the trade standards are written in inches, pounds and grains;
this is the one place the arithmetic takes their size from. Text for people goes through `workshop.units`.
"""

INCH_M = 0.0254
FOOT_M = 12 * INCH_M
POUND_KG = 0.45359237
POUND_N = POUND_KG * 9.80665
GRAIN_KG = POUND_KG / 7000
FOOT_POUND_J = FOOT_M * POUND_N
