"""One articulated figure that draws every test and drill, as SVG without style or script."""

from countermove.figure.draw import draw_drill, draw_pose, draw_test
from countermove.figure.jump_moments import Moment, jump_moments
from countermove.figure.limits import RANGES, joint_angles
from countermove.figure.poses import Arm, Frame, Leg, Mark, Pose, Prop, load_poses, read_poses
from countermove.figure.proportions import Proportions, proportions_of, usual_proportions
from countermove.figure.sheet import contact_sheet, style_sheet
from countermove.figure.skeleton import Skeleton
from countermove.figure.solve import solve_pose
from countermove.figure.standing import Standing, standing_figure

__all__ = [
    "RANGES",
    "Arm",
    "Frame",
    "Leg",
    "Mark",
    "Moment",
    "Pose",
    "Prop",
    "Proportions",
    "Skeleton",
    "Standing",
    "contact_sheet",
    "draw_drill",
    "draw_pose",
    "draw_test",
    "joint_angles",
    "jump_moments",
    "load_poses",
    "proportions_of",
    "read_poses",
    "solve_pose",
    "standing_figure",
    "style_sheet",
    "usual_proportions",
]
