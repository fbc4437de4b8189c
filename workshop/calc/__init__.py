"""The arithmetic of the trade: pure functions on SI floats and numpy arrays.

Nothing here knows Django, units other than SI, or sentences for people. A function given something it cannot
answer raises a `CalcError`; a result that may be doubted says so in its fields `ok` and `why`.
"""
