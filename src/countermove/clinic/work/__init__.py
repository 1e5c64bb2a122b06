"""Slow work and its results: who asked, how far it is, what came out."""
