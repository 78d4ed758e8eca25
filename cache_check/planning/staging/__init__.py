"""Which assemblies to leave built, where they lie, and what each scene then takes."""
