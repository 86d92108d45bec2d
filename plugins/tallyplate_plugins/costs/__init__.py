"""The shop's cost model, one kind of cost a file: read the list of files and you have read the model."""
