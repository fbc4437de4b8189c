"""The plan of a bow, solved: what it will weigh, how far its wood is strained and where, before a shaving is taken.

design      a plan as the arithmetic takes it, and the answer: no database here
changes     brought to a weight, compared with others, begun from nothing
wood        each layer's stiffness and weight, from the best that is known of it
facts       a bow of the ledger as a plan, and where each of its figures is from
record      what this shop's finished bows bore, and how far out its forecasts were
nextpull    the next inch and the full draw of a bow that was measured and weighed
"""
