"""Commands of estimates."""
