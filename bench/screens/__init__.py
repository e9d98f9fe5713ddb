"""Full screens. A screen asks shop for one view and draws it; a key calls one function of shop."""
