"""What the engineer's office sends (drawings and bar schedules) as facts, questions and faults."""
