"""The weigh-in: one figure at the furthest draw, or the full series; what it says at once and what it rates.

passes      one weigh-in, and all of a bow's together, as things to reckon with (no writing, no pages)
selectors   reads them; rating_of, weight_now, last_weigh_in, series_of
words       what a weigh-in says at once
forecasts   what is expected of the next pull, and what came of it
picture     the draw curve
services    the only writes
"""
