"""Files of the engineer's office: received, read apart, and answered."""
