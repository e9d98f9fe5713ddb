"""Every action that concerns no single stand, as menus, letters and the palette on ctrl+p.

Highest of the screens: imports the others.
"""
