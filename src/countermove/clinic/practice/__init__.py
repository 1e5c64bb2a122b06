"""The practice: its sites, who may do what there, and who saw what."""
