"""Facts that can be corrected later: ``table.FACTS`` lists them, ``frame.correct`` corrects one."""
