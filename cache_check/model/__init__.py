"""What things are: frozen records, no reading or writing, no algorithms.

What people write down (parts, caches, rules, needs) is pydantic, since it must be validated.
What the program works out (assemblies, packings, pages' contents) is plain frozen dataclasses.
"""
