"""From the ledger to a paper's facts: one module a paper, each with `found()`, the records it may be about with
all it reads (so that the number of queries is constant), and `draft(record, desk)`, its worded facts."""
