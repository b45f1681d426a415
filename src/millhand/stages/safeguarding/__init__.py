"""Safeguarding of one cell: what fits, distances, speeds near people, persons in its zones, hazards by task."""
