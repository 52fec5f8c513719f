"""Reading and writing files: the line and column of every value, and words for all that can be wrong.

Its modules:

- `quantities`: `35 ft`, `4 %`, `$1,250.00` as Decimals in the one unit used inside; `MisreadError`, which
  demands what was found and the mend.
- `text_reader`, `yaml_reader`, `csv_reader`: reading, with the line and column of every value and words for
  all that can be wrong.
- `problems`: one complaint: code, place, sentence, how to mend it; text and JSON.
- `asked`: what is asked for by option or from Python and is not there, or out of range.
- `writing`, `shipped`: writing whole or not at all, several files together; where the shipped examples are.
- `visible`: signs that nobody sees, refused where text is read and written out where it is printed.
- `difference`, `locking`: rows of a CSV text changed with all else kept, and shown; one writer at a time in a
  folder.
"""
