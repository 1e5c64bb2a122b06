"""People: athletes, their clearance and consent, and whom to call today."""
