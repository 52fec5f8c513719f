"""What `costplan start` asks, and the shop file that follows from the answers.

Its modules:

- `asking`, `dialogue`, `questions`, `panel_questions`, `machine_questions`: questions as data and the walk over them; what was
  answered where, and what of it is asked again; the questions.
- `answers`, `answer_readers`, `length_answers`, `money_answers`, `spoken`: everything that may be told; how answers
  are read, also with the words that people say around them.
- `told_facts`, `told_lengths`, `told_moves`, `told_retoolings`, `told_plates`, `told_panels`, `ranges_told`, `told_lines`,
  `room_told`, `machine_line`, `page`, `standing_apart`, `untold_distances`: facts in plain words; lengths, moves,
  retoolings, plates, distances from several panels and ranges as spoken; what was answered as lines of a page; service,
  peak, tandems and turns; a machine's line; a page of notes; groups whose machines stand at several distances, divided;
  panels of which nobody told how far they are.
- `starting`, `starting_machines`, `starting_moves`, `starting_room`: the shop file: its head and places, its machines and
  quotes, what may happen, its panels and gear.
"""
