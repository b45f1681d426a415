"""What replications say when they are put together: how sure a mean is, where a warm-up ends, which concept is best.

* interval, precision: the mean's interval, and how many replications a stated precision takes (Student's t).
* warm_up: where the transient of a run ends (MSER-5).
* comparison: two concepts under common random numbers.
* ranking, selection: which of several concepts can still be best; and the sequential choice with its guarantee.
* first_stop: which cause ends a run alone, and how many parts are made until then, part by part.
* oee: the standard's key figures from a station's state shares.
* cycle_times: mean and quantiles of a histogram of log-spaced bins.
* per_shift: an output's figures by the hour, the shift and the week.
* runs, pilot, contest: replications of cells kept one by one; the warm-up, the precision and the choice found on them.

Values are sequences of floats, one value a replication, in the order of the replications' numbers: value n of one
concept and value n of another have met the same chance. Only runs, pilot and contest
run simulations; the rest takes what they gave.
"""
