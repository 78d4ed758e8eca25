"""What is wrong or worth knowing: the kinds of rule in ``kinds/``, each finding with its figures."""
