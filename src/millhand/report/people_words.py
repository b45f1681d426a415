"""Words for people's time by kind and the use of today's machines, alike in the terminal and on the page."""

KINDS = {
    "care": "care of the machines: loading, ways, stops, tools, set-ups",
    "other": "other work: deburring, gauging, packing, transport",
    "waiting": "waiting",
}
USE_HEADS = ("simulated\navailability", "after\nlosses", "effective-\nness", "quality\nratio", "OEE\nindex")
USE_ROWS = {
    "simulated_availability": "Availability, simulated",
    "availability": "Availability after losses",
    "effectiveness": "Effectiveness",
    "quality": "Quality ratio",
    "oee": "OEE index",
}
SPREAD = "Every hour has the same share of it; machines stand in it, and people wait."
SAME_SCOPE = (
    "A cell is held against the same: stops, tools, chips, set-ups and the refill in the place of the fetching stand "
    "in it, and gauging, deburring and packing stay with people in full. A freed hour is money by whole heads, less "
    "overtime or fewer temporary hours, or where the shop names a use; the rest is not counted."
)
USES = {
    "none": "No use is named (people.freed_use)",
    "finishing": "The use named is finishing",
    "programming": "The use named is programming",
    "setups": "The use named is set-ups",
    "vacancy": "The use named is a post that is open",
    "overtime": "The use named is less overtime",
    "temporary": "The use named is fewer temporary hours",
    "several": "Several uses are named (people.freed)",
}
USE_WORDS = (
    "availability is cutting and loading over the planned hours, effectiveness (performance) planned time of the "
    "parts over that, quality ratio the good ones; multiplied, good parts shipped x ideal time / planned time."
)
