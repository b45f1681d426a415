"""From the timing to the Cell: today, better by hand, or tended by an arm."""
