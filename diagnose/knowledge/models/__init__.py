"""The pages of the rule language: one model for each kind of item a rule file may hold.

The first key of an item says what it is: `observe`, `state`, `derive`, `cause`, `test`, `fix`, `caution`,
`rule`, `limit`, `source`, `topic`, `words`. Words whose list lives in the rule base itself (strengths, how
common, effort) are checked when the files are linked, so that the list stays in one place.
"""
