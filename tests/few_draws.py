"""How uncertain facts are drawn where a test is about something else: few draws, no cell simulated again in them."""

from millhand.stages.spread import Asked

FEW_DRAWS = Asked(count=40, seed=1)
