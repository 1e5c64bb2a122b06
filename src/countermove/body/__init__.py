"""Segments and inertia of one athlete from height, mass, sex and measured lengths."""

from countermove.body.segments import Body, BodySegment, build_body, segment_mass_kg

__all__ = ["Body", "BodySegment", "build_body", "segment_mass_kg"]
