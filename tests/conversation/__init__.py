"""Whole conversations with the service, as a salesperson holds them."""
