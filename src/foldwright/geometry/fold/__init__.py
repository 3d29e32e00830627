"""Folding of boards: panels, folds, marks, blanks; knows boards, not aeroplanes."""
