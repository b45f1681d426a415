"""The fields of the two records: name, kind of number, and the nouns that index it (records.py says how to read it)."""

Field = tuple[str, str, str]


def _fields(kind: str, dims: str, names: str) -> tuple[Field, ...]:
    """Fields of one kind and size."""
    return tuple((name, kind, dims) for name in names.split())


TRAITS = (
    "rails",
    "cycles",
    "windows",
    "batches",
    "self_moving",
    "uses",
    "lots",
    "gates",
    "slowing",
    "warming",
    "wear",
    "halts",
    "hours",
    "stores",
    "moments",
    "unlike",
    "endless",
    "stocks",
)
"""What a cell may have nothing of at all (events/traits.py)."""

CELL: tuple[Field, ...] = (
    *_fields("i8", "", "stations attendants people places parts slots faults clocks calendars day room"),
    *(("has_" + name, "i1", "has_" + name) for name in TRAITS),  # one place, or none where no such cell is meant
    *_fields("i8", "", "windows batches self_moving lots_end any_uses tracks cycles"),  # 1 where the cell has any of it
    *_fields(
        "i8", "", "entries comings"
    ),  # how many parts enter stations in an order, and come in, in a period of a schedule
    *_fields("i8", "", "tended t_supply t_sink t_gauge t_row t_step t_check t_out t_pick t_put t_level"),
    *_fields("i8", "", "t_rounds t_tails t_check_rounds t_check_place t_check_pick t_check_takes t_checking"),
    *_fields("i8", "stations", "t_takes t_swap t_way_out t_way_home t_way_back t_way_check"),
    *_fields("i8", "stations", "s_kind s_place s_capacity s_batch s_attended s_self_in s_self_out s_calendar start"),
    *_fields("i8", "stations", "s_warm_after s_warm_takes s_turnaround"),
    *_fields(
        "i8",
        "stations",
        "s_piece_from s_room s_good_stream s_swap_only s_exchanged s_changes s_twin s_gate s_only_to",
    ),
    *_fields("i8", "stations", "s_endless s_stands"),
    *_fields("i8", "stations", "level_from level_to parts_from parts_to given_from given_to lot_from lot_to"),
    *_fields("i8", "stations", "feed_from feed_to step_from step_to"),
    *_fields("i8", "stations stations", "feeds"),  # 1 where the second gives parts whose next step may be the first
    *_fields("i8", "stations parts parts", "change_slot"),
    *_fields("i8", "owners", "f_from f_to u_from u_to"),
    *_fields("i8", "attendants", "a_everywhere a_arm a_hands a_home a_full a_slow a_calendar a_swaps a_rule a_counts"),
    *_fields("i8", "attendants", "a_turn a_picks"),
    *_fields("f8", "attendants", "a_pace track_keep"),
    *_fields("i8", "attendants", "a_track a_order track_order op_from op_to"),
    *_fields(
        "i8", "attendants", "a_sure a_goes"
    ),  # 1 where nothing but its own turn can stop it; where that has motions
    *_fields("i8", "attendants stations", "a_puts"),  # 1 where its turn sets down
    *_fields("i8", "stations", "s_in_turn taken_from taken_to"),  # 1 where somebody's turn visits it; what it takes
    *_fields("i8", "turns", "taken_step taken_lap taken_came comes"),
    *_fields("i8", "stations", "s_enters row_from row_to"),  # where it is first told in which order parts enter it
    *_fields("i8", "turns", "enter_who enter_op enter_step enter_lap enter_source_from enter_source_to enter_source"),
    *_fields(
        "i8", "turns", "enter_came op_came op_brings_came op_lies mate_from mate_to mate mate_laps mate_step"
    ),  # which of the parts that come in a period it is
    *_fields(
        "i8",
        "turns",
        "op_what op_place op_slot op_part op_lap op_lies_at op_brings op_brings_step op_brings_lap op_gap",
    ),
    *_fields("i8", "turns", "op_alone op_begun op_at_from op_at_to op_at op_waits_from op_waits_to"),
    *_fields("i8", "turns", "op_waits wait_who wait_laps wait_begun wait_lag op_enters"),
    *_fields("f8", "places", "place_x"),
    *_fields("i8", "places", "place_on"),
    *_fields("i8", "attendants", "source_from source_to answer_from answer_to"),
    *_fields("i8", "attendants stations", "a_rank s_swaps"),
    *_fields("i8", "attendants stations parts", "row_of pick_of"),
    *_fields("i8", "attendants steps", "o_from o_to o_stations"),
    *_fields("i8", "visits", "v_has v_lead v_hold v_tail v_on_finish v_lead_steps v_hold_steps v_tail_steps"),
    *_fields("f8", "rows", "r_miss_p"),
    *_fields("i8", "rows", "r_miss_stream r_retries r_retry r_miss_slot"),
    *_fields("i8", "lists", "o_station o_place o_swap source answer feed step given g_at uses_at uses_pieces stop"),
    *_fields("i8", "lists", "zone_attendant zone_slow restore restore_full level_below level_slot"),
    *_fields("i8", "lists", "parts_trigger parts_slot x_every lot_part lot_size lot_first lot_keeps"),
    *_fields("i8", "lists", "clock_times"),
    *_fields("i8", "steps", "g_part g_at_from g_at_to g_every g_on_bad g_family uses_from uses_to"),
    *_fields("i8", "steps", "g_stay_max g_straight"),
    *_fields("f8", "steps", "g_good"),
    *_fields("i8", "steps stations", "g_time g_allows g_lies"),
    *_fields("i8", "parts", "p_first p_in_turn p_comes_from p_comes_to"),  # 1 where somebody's turn moves the type
    *_fields("f8", "parts", "p_share"),
    *_fields("i8", "faults", "f_owner f_on f_every f_stream f_slot f_self_end f_keeps stop_from stop_to"),
    *_fields("f8", "faults", "f_p"),
    *_fields("i8", "wears", "u_owner u_loads u_spares u_slot"),
    *_fields("i8", "wears", "u_limit"),
    *_fields("i8", "duties", "d_priority d_place d_needs d_holds d_interruptible d_stack d_own_slot"),
    *_fields("i8", "duties", "zone_from zone_to restore_from restore_to"),
    *_fields("i8", "slots", "l_duty l_kind l_what l_owner l_takes l_response l_by_call l_most"),
    *_fields("i8", "clocks", "clock_duty clock_span clock_from clock_to"),
    *_fields("i8", "clocks", "clock_period"),
    *_fields("i8", "spans", "n_fixed"),
    *_fields("i8", "spans", "n_dist n_stream n_from n_to"),
    *_fields("f8", "spans", "n_a n_b n_c n_scale"),
    *_fields("f8", "values", "values"),
    *_fields("i8", "streams", "y_source"),
    *_fields("i8", "edges", "bin_edge"),  # of cycle times
    *_fields("i8", "calendars", "e_period"),
    *_fields("i8", "calendars", "e_from e_to e_at_end"),
    *_fields("i8", "hours", "hours_start hours_end"),
    *_fields("i8", "hours", "hours_pause"),
    *_fields("i8", "tables places places", "moves"),
)

RUN: tuple[Field, ...] = (
    *_fields("u8", "", "seed"),
    *_fields("i8", "", "replication rare soon today tomorrow before at_once events most_events begun stop stop_at"),
    *_fields("i8", "", "logging log_lines away_lines freed gone"),
    *_fields("i8", "", "changed finished working waiting_calls closed"),
    *_fields("i8", "", "people_here here_since here_time"),
    *_fields("i8", "", "away_open away_until away_cause need_cause away_parts was_away last_out free_count"),
    *_fields("i8", "events", "due"),
    *_fields("i8", "stations", "s_ready s_end s_left s_since_work s_stood s_since s_stock_since s_set_down"),
    *_fields("i8", "stations", "s_mode s_trouble s_down s_worn s_held s_off s_served s_held_as s_state"),
    *_fields("i8", "stations", "s_stock s_inside s_done s_head s_claimed s_expected s_family s_next_family"),
    *_fields("i8", "stations", "s_made s_checked s_checking s_good_since s_escaped_since"),
    *_fields("i8", "stations", "s_good_after s_escaped_after s_late lot_now"),
    *_fields("f8", "stations", "s_area"),
    *_fields("i8", "stations states", "s_time"),
    *_fields("i8", "stations", "s_bin s_finished s_take s_take_period"),
    *_fields("i8", "turns", "enter_done op_over"),
    *_fields("i8", "gone", "gone_number"),  # one more than the number of a part that the schedule will not see any more
    *_fields("i8", "stations bins", "s_cycles"),
    *_fields("i8", "pieces", "piece free q_step q_settled q_bad q_maker q_marked"),
    *_fields("i8", "pieces", "q_number q_since q_came"),
    *_fields(
        "i8", "attendants", "a_mode a_place a_holds a_source a_target a_visit a_which a_last a_picked_last a_lifted"
    ),
    *_fields(
        "i8",
        "attendants",
        "a_slot a_halted a_on a_want a_want_step a_slowed a_way_state a_away_as a_dropped a_visit_takes",
    ),
    *_fields("i8", "attendants", "a_state a_first a_second a_halted_as"),
    *_fields("i8", "attendants", "a_misses a_busy a_left a_full_way a_slow_way a_since a_until_first a_until_second"),
    *_fields(
        "i8",
        "attendants",
        "a_t0 a_t1 a_motion_left a_track_since a_op a_period a_stray a_hold_began a_hold_from a_in_turn a_goes_at",
    ),
    *_fields("i8", "attendants", "a_empty a_empty_at a_waits_since a_came a_left_lying"),
    *_fields("f8", "attendants", "a_x0 a_x1"),
    *_fields("i8", "attendants hands", "a_hand"),
    *_fields("i8", "attendants doings", "a_time"),
    *_fields("i8", "steps", "g_until g_in_hand"),
    *_fields("i8", "parts", "p_given p_out p_good"),
    *_fields("i8", "slots", "l_waiting l_since l_ready l_serving l_left"),
    *_fields("i8", "faults", "f_left f_open f_due"),
    *_fields("i8", "wears", "u_used u_spares u_worn_out"),
    *_fields("i8", "lists", "x_count lot_left"),
    *_fields("i8", "duties", "d_time d_ended"),
    *_fields("u8", "streams", "y_state"),
    *_fields("i8", "streams", "y_day"),
    *_fields("i8", "counts", "counts"),
    *_fields("i8", "log five", "log"),
    *_fields("i8", "away six", "away"),
)
