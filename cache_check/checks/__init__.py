"""What is wrong or worth knowing: one file per kind of rule in ``kinds/``, each finding with its figures."""
