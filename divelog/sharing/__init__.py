"""A boat passed on as one file, and taken in from one: a zip archive of plain text, checked wholly before it is used.

The bundle, version 1. Every member is UTF-8 text; names are fixed; nothing else may stand in it:

=================  ================================================================================================
``manifest.json``  one JSON object: ``format`` ("divelog bundle"), ``version`` (1), ``program``, ``made``, ``boat``
                   (``slug``, ``name``), ``condition``, ``runs``, ``claimed`` (proofs that stood), ``dry_depth`` (m),
                   ``defects`` (still open), ``incidents`` (``all``, ``here``), ``left_out`` (``name``, ``count``),
                   ``files`` (``name``, ``bytes``, ``sha256`` of every other member)
``boat.toml``      her profile, as a home holds it, with the newest measured values written in
``baselines.jsonl``  her ``measured`` events with their conditions, one a line, as a journal holds them
``log.jsonl``      the rest of her log, only where its owner said so; corrections are carried out, not carried along
``lists/*.toml``   changes to checklists that its owner uses
``about.txt``      the same in words, for somebody without the program; never read back
=================  ================================================================================================

Digests show accidents, not forgery. What was proved by the last owner is *claimed* until it is proved here.
"""
