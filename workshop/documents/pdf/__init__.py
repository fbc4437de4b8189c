"""Papers as pure functions: worded facts in, bytes of a PDF out. Nothing here knows of a database or a request.

    text, fonts     one typeface; plain text cleaned, wrapped, fitted
    layout, parts   boxes laid down one column; headings, facts, lists, tables
    press, labels   whole pages, and label stock by millimetres; the check ruler
    qr              codes
    drawings, outline, chart    the bow and its curve as line drawings
    stave_tag, bow_tag, bench_card, order_sheet, care_sheet, draw_curve_sheet    the papers
    words           every fixed text

Each paper is a frozen dataclass of strings already written in the maker's units and language, and one function.
The same facts make the same bytes.
"""
