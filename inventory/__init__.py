"""WHAT HAPPENED: suppliers → orders → deliveries → ledger → comparison → spend → reorder plan."""
