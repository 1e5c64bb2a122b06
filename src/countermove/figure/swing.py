"""
What the shortest turn between two moments gets wrong: arms swing past the front, feet stay put.

From behind the body to overhead the shortest way leads over the back, which no shoulder goes; and a
leg that bends between two moments draws its foot into the floor. Both are put right here.
"""

from __future__ import annotations

import numpy as np

from countermove.figure.skeleton import SIDES, Skeleton
from countermove.figure.vectors import Frame3, about_z, between

# Below this the shortest turn does not leave the front of the body (our-default). [deg]
WIDE_SWING_DEG = 120.0
# A shoulder goes further up than back: what reads as beyond this behind is overhead. [deg]
FURTHEST_BACK_DEG = -90.0


def flexion(body: Skeleton, side: str) -> float:
    """Give the upper arm's swing in the chest's own plane: forward and up from hanging. [deg]"""
    down = body.frames["chest"].T @ -body.frames[f"{side}_upper_arm"][:, 1]
    angle = float(np.degrees(np.arctan2(down[0], -down[1])))
    return angle + 360 if angle < FURTHEST_BACK_DEG else angle


def swung_arms(start: Skeleton, end: Skeleton, share: float) -> dict[str, Frame3]:
    """
    Give the frames of the arms that swing wide, part of the way.

    Parameters
    ----------
    start, end : Skeleton
        Two moments.
    share : float
        Of the way, from 0 to 1.

    Returns
    -------
    dict of str to ndarray, shape (3, 3)
        Of upper arm, forearm and hand; empty where no arm swings wide.
    """
    chest = between(start.frames["chest"], end.frames["chest"], share)
    frames: dict[str, Frame3] = {}
    for side in SIDES:
        first, last = flexion(start, side), flexion(end, side)
        if abs(last - first) < WIDE_SWING_DEG:
            continue
        rest = between(_rest(start, side, first), _rest(end, side, last), share)
        upper = chest @ about_z(first + share * (last - first)) @ rest
        fore = upper @ _from(start, end, f"{side}_upper_arm", f"{side}_forearm", share)
        hand = fore @ _from(start, end, f"{side}_forearm", f"{side}_hand", share)
        frames |= {f"{side}_upper_arm": upper, f"{side}_forearm": fore, f"{side}_hand": hand}
    return frames


def _rest(body: Skeleton, side: str, swing: float) -> Frame3:
    """Give what is left of the upper arm's turn when its swing is taken away."""
    arm = body.frames[f"{side}_upper_arm"]
    return np.asarray(about_z(-swing) @ body.frames["chest"].T @ arm)


def _from(start: Skeleton, end: Skeleton, parent: str, child: str, share: float) -> Frame3:
    """Turn a bone against the one it hangs on, part of the way."""
    first, last = (body.frames[parent].T @ body.frames[child] for body in (start, end))
    return between(first, last, share)


def kept_standing(body: Skeleton, start: Skeleton, end: Skeleton, share: float) -> Skeleton:
    """
    Move a posture between two so that the foot stands where both moments have it.

    The foot is the one whose ball moves least between them; the moments are known to stand on it.
    """
    side = min(SIDES, key=lambda s: _moved_m(start, end, f"{s}_ball"))
    ball = f"{side}_ball"
    stands = (1 - share) * start.points[ball] + share * end.points[ball]
    return body.moved(stands - body.points[ball])


def _moved_m(start: Skeleton, end: Skeleton, point: str) -> float:
    return float(np.linalg.norm(end.points[point] - start.points[point]))
