"""One articulated figure that draws every test and drill."""

from countermove.figure.draw import draw_drill, draw_pose, draw_test
from countermove.figure.poses import Arm, Frame, Leg, Mark, Pose, Prop, load_poses
from countermove.figure.proportions import Proportions, proportions_of, usual_proportions

__all__ = [
    "Arm",
    "Frame",
    "Leg",
    "Mark",
    "Pose",
    "Prop",
    "Proportions",
    "draw_drill",
    "draw_pose",
    "draw_test",
    "load_poses",
    "proportions_of",
    "usual_proportions",
]
