"""Which parts may meet: joints, legal assemblies, their reach, and why not."""
