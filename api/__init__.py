"""The same business acts and reads over REST."""
