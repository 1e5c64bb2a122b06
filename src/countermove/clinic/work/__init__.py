"""What comes of the records: examinations, results, and the pages that show them."""
