"""The clinic: a thin Django project that keeps the records of a practice and shows them."""
