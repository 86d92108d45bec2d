"""What a choice or a rate is worth: comparing prices, and what a draft card would do to a portfolio."""
