"""The reorder plan: dated needs less usable stock and open orders, in packs, with the day to order by."""
