"""One named test for each way a naive tool goes wrong."""
