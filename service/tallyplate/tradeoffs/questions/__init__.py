"""What is still open in a request: questions to read out, and the range of the price so far."""
