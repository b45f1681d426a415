"""How long an arm's moves take: from joint to joint, straight, past via points, with a load, between all stations.

* axes: what each axis can do, and the same under a load.
* profile: the jerk-limited rest-to-rest time of formulas.motion for whole arrays.
* joint: moves from joint position to joint position, all axes starting and ending together.
* straight: a path of the tool, sampled into joint positions, under a cap on the tool's speed.
* blend: via points that are passed without a stop.
* burden: speed and acceleration that a load leaves.
* tables: times between all pairs of stations, at full speed and slow, as the carried load makes them.
* tool_load: mass, centre of gravity, moment and inertia at the flange of a tool made of boxes and cylinders.

Angles and lengths of axes stand side by side in one array: rad for a turning axis, m for a sliding one. Times hold for
the limits that are given; settling, brakes and a control's own delays come on top. No figure here says how near a
person may be to the arm.
"""
