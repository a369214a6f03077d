"""An invented firm with three sites and five slabs in different states, written through services alone."""
