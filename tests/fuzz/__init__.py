"""Inputs made from numbers, damaged with their structure kept, and a run over as many of them as there is time for."""
