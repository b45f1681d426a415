"""isots15066: speed and separation (as in marvel2017), contact speeds and clamping forces by body region."""

import pytest

from tests.checks import OWN, SEEN, Check, assert_holds

FORCES = {  # quasi-static force in N, table A.2
    "skull_forehead": "130",
    "face": "65",
    "neck": "150",
    "back_shoulders": "210",
    "chest": "140",
    "abdomen": "110",
    "pelvis": "180",
    "upper_arm_elbow": "150",
    "lower_arm_wrist": "160",
    "hand_finger": "140",
    "thigh_knee": "220",
    "lower_leg": "130",
}


def monitored(speeds: tuple[float, float], times: tuple[float, float], path: float, rest: float, printed: str) -> Check:
    """One case: speeds of person and arm, reaction and stopping time, stopping path, intrusion with uncertainties."""
    return Check(
        formula="separation_speed_monitored_m",
        inputs={
            "human_speed_m_s": speeds[0],
            "robot_speed_m_s": speeds[1],
            "reaction_s": times[0],
            "stopping_s": times[1],
            "stopping_path_m": path,
            "allowances_m": rest,
        },
        printed=printed,
        exact=True,
        key="isots15066",
        seen=OWN,
    )


def contact(region: str, moving_kg: float, payload_kg: float, printed: str) -> Check:
    """One contact speed."""
    return Check(
        formula="contact_speed_m_s",
        inputs={"region": region, "moving_kg": moving_kg, "payload_kg": payload_kg},
        printed=printed,
        key="isots15066",
        seen=OWN,
    )


CHECKS = [
    monitored((1.6, 1.0), (0.1, 0.4), 0.2, 0.2 + 0.1 + 0.05, "1.45"),
    monitored((1.6, 0.25), (0.1, 0.15), 0.02, 0.85 + 0.05, "1.345"),
    monitored((1.6, 1.5), (0.1, 0.3), 0.225, 0.85 + 0.1, "1.965"),
    Check(
        formula="stopping_path_m",
        inputs={"speed_m_s": 1.5, "decel_m_s2": 5.0},
        printed="0.225",
        exact=True,
        key="own_computation",
        seen=OWN,
    ),
    contact("hand_finger", 20.0, 3.0, "1.35"),
    contact("hand_finger", 60.0, 10.0, "1.3298"),
    contact("chest", 20.0, 3.0, "0.5654"),
    Check(
        formula="contact_speed_m_s",
        inputs={"region": "face", "moving_kg": 20.0, "payload_kg": 3.0},
        expected=0.0,
        key="isots15066",
        seen=SEEN,
    ),
    Check(
        formula="effective_robot_mass_kg",
        inputs={"moving_kg": 20.0, "payload_kg": 3.0},
        printed="13.0",
        exact=True,
        key="isots15066",
        seen=OWN,
    ),
    Check(
        formula="speed_of_contact_force_m_s",
        inputs={"force_n": 280.0, "stiffness_n_m": 25_000.0, "body_kg": 40.0, "robot_kg": 13.0},
        printed="0.5654",
        key="isots15066",
        seen=OWN,
    ),
    *(
        Check(
            formula="clamping_force_n",
            inputs={"region": region},
            printed=printed,
            exact=True,
            key="isots15066",
            seen=SEEN,
        )
        for region, printed in FORCES.items()
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_people_near_the_arm(check: Check) -> None:
    """Distances, speeds and forces come out to the last digit."""
    assert_holds(check)
