"""How dates are written: the day first and the month as a word, which every reader of English reads alike."""
