"""Backup, restore and export of the whole ledger.

A backup is one zip that can be read without this program:

    tables/<table>.jsonl    every row of one table, one JSON object a line, in order of its id
    bytes/<table>/<id>.<column>
                            what a row holds in bytes: the papers, as they were issued
    photos/<name>           the photo files the rows name
    manifest.json           written last: program, time, migration state, rows of each table, size and checksum of
                            each file

Rows are read and written through the models *of the migration state they were written in*, so a backup made before a
migration, or by an older program, is put back into just that state and then brought up to date; and the same lines go
into SQLite or PostgreSQL (`workshop.ledger.lines`).

    archive    the zip: written with checksums, opened only after every one of them holds
    states     models of a migration state; what is applied, pending or from the future
    sources    connections of their own: a snapshot to read from, a new file to write into
    dump       backup_make
    restore    restore
    export     everything as CSV
    check      what `manage.py check_ledger` looks at
    daily      the watch that makes one backup a day while the ledger is served
"""
