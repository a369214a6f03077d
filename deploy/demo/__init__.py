"""The whole service on one machine, with no server to install: web, worker and clock side by side."""
