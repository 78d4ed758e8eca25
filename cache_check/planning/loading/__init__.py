"""What struts carry where they stand, how they are held, and what a vehicle asks of them."""
