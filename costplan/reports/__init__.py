"""The comparison as text and as plain data.

Its modules:

- `turning_text`: what turns the answer, and what finding out is worth, printed and as data.
- `rounded`, `sure`: figures rounded to what their uncertainty allows; how sure the answer is, in words and tables.
- `words`, `verdict_words`, `counted`, `tables`, `sizes`, `bill`, `data`, `data_text`: words for plans and machines; which
  way wins and what is missing; so many of a group, text tables, bills; JSON and CSV of a comparison, and of anything.
- `first_screen`, `first_tables`, `first_asked`, `screen_parts`, `budget`: the answer on one screen: its blocks, its two
  tables, what is missing or asked; what first screens share; text within a budget of rows, shortened by rank.
- `next_screen`: the same for a next machine; its page is `next_page`.
- `parts`, `terminal`, `comparison_tables`, `plan_tables`: what `--show` prints: the parts by name, how they
  are put together, tables of the comparison and of one plan.
- `table_types`, `columns`, `answer_columns`, `next_columns`: tables with each column declared once, for JSON, CSV and
  pandas: what a table is; those of plans; what stands beside plans (strategies, layouts, ranges), and all by name; those of
  next machines.
- `framing`, `frames`, `next_frames`: the same as pandas frames; `costplan.compare` and `costplan.next_machines`, which the
  commands call.
- `over_time`, `outlays_text`: plans over the years beside each other: cash so far, payback, what could wait; cash today
  against later.
- `budget_text`, `budget_columns`: what to do in which year under a yearly budget, or what is short, printed and as data.
- `cap_text`: what is left under the cap on today's outlay, how often it is exceeded, what it costs.
- `crew_hours`: hours by the clock of whoever works, one or several, and which of them add up.
- `heavier_text`: heavier wire in one run as an option.
- `room`, `room_notes`, `gear_reasons`, `pairing`, `next_page`: gear, panel room and loads; what to know beside them; why
  gear is there; which
  circuits go on which tandem breaker; the page for a next machine.
- `kept`, `work_list`, `work_cords`, `work_checks`, `work_moves`, `work_directory`, `work_draft`,
  `work_words`: today's work on what is there as a numbered list, printed and for JSON; its lines, those about
  cords, what is looked at and tested, in which order machines move, what the directory must say, a line
  before it has a number, words for things and who does what.
- `asked`, `invented`: questions about the files beside the figures that they touch; what a heading says is
  made up.
- `strategies_text`, `layouts_text`, `figures_text`: strategies beside each other, what is left under the cap;
  layouts beside the shop as it is; the figures to replace first.
- `remarks`, `noted`, `noted_machine`, `noted_circuits`, `noted_loads`, `noted_ways`, `noted_there`, `noted_spaces`,
  `noted_damp`, `noted_runs`, `noted_shop`, `remarks_text`: every caution and question as data, by topic; the
  topics of a plan with the lines each is about; what topics of a machine are read off, those of its circuit, of
  heaters and motors, those that a way brings without a plan, for `size` too, those of what is there and stays, of
  the spaces worked in, of damp places, of cables that leave a panel together, of what is asked once of a shop and
  its panels; both printed and as data; `priced`: words with money in them, which the scope sheet shows without.
- `sections`: a section of a paper described once, for text, workbook and page.
- `shopping`, `shopping_sections`, `shopping_text`, `shopping_book`, `substitutes`, `all_new`, `questions`, `inspection`,
  `marks`: the shopping list, its sections besides the orders, as text and workbook; what to take instead, ask and look at;
  horsepower marks to read.
- `scope`, `circuits`, `scope_sections`, `scope_text`, `page`: the scope sheet and its circuits, in its sections; both papers as
  pages.
- `scope_plan`, `scope_lines`, `scope_work`, `scope_notes`, `scope_protection`, `scope_supplies`,
  `scope_later`, `scope_reach`, `scope_spaces`, `scope_drives`: what a plan asks for today, and how an alternate differs
  from the base; the lines of its panel that each circuit is proposed on; work with what goes
  out and in; what to look at and ask; ground-fault protection by place; what the owner brings and keeps; later
  work; where cords from today's outlets reach later; spaces to keep free for later; drives that change machines.
- `proof`: what is said of plans whose search was not ended.
- `there`, `conversion`, `before_after`, `own_shop`: outlets that are there and whom they serve after today;
  what becomes of a run's conductors that serves other lines; panels before and after, breakers that change
  place; things of the shop's own that go elsewhere.
- `guide`: pages of the guide, listed and laid out for a terminal.
- `calls`, `jobs`, `bids`: phone calls, finished jobs, bids.
- `explained`, `chain`, `line_ranges`, `explained_data`: where a total, a machine's money or a line comes from, and why another
  way or plan does not win, as text; the steps from the total to where a line's figures are written; the ranges among these;
  the same as data.

**Papers** read a comparison and change nothing. **Upkeep** works out a `Proposal` (the new text of each file,
the difference, questions); `cli.upkeep` shows it and writes all files of it, or none. Rows that are not meant
keep every character.
"""
