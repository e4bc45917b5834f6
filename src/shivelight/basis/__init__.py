"""What every room shares: errors, array types, angles, places, instants and plain words.

Imports nothing else of ours. A thing belongs here only when three rooms use it.
"""
