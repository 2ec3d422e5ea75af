"""The way through, as calls that `mkdocs build` and every command share.

    read     combos folder -> Catalogue (records, and all their problems)
    compute  Catalogue     -> Findings  (chemistry, cones reached, evidence, answers)
    develop  Catalogue     -> photos    (straightened, cropped, cached)

Rendering is `pages.write_site`; it takes what these three return.
"""
