/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What if: cells that depend on given columns, computed into columns. */
#include <assert.h>
#include <string.h>

#include "inside.h"

/* One run over lanes. Columns that were given stay as they are; which these are is a bit a cell. */
typedef struct lanes_run {
    mw_sheet *sheet;
    mw_lanes *lanes;
    uint64_t *given;
    mw_machine machine;
    mw_changes counted;
} lanes_run;

static bool is_given(const lanes_run *run, uint32_t id)
{
    return (run->given[id / 64] >> (id % 64) & 1) != 0;
}

/* A hub has no column of its own: its outputs have. */
static void mark_readers(const lanes_run *run, uint32_t id)
{
    run_mark_readers(run->sheet, id);
}

static mw_status compute_hub(lanes_run *run, uint32_t hub)
{
    mw_sheet *sheet = run->sheet;
    const mw_status status = outside_run_lanes(sheet, hub, run->lanes, run->given);
    const outside_node *node = sheet->nodes[sheet->cells[hub].part];
    run->counted.computed += node->output_count;
    run->counted.changed += node->output_count;
    for (uint32_t i = 0; i < node->output_count && status == MW_OK; i++) {
        mark_readers(run, node->first_output + i);
    }
    return status;
}

static mw_status compute_cell(lanes_run *run, uint32_t id)
{
    const mw_sheet *sheet = run->sheet;
    if (is_given(run, id)) {
        return MW_OK; /* its readers are marked already */
    }
    const code_range code = sheet->wires[id].code;
    if (code.begin == MW_NONE) {
        return compute_hub(run, id);
    }
    const mw_status status =
        mw_lanes_run(run->lanes, &run->machine, sheet->code.items + code.begin, code.count);
    if (status != MW_OK) {
        return status;
    }
    run->counted.computed++;
    if (mw_lanes_column(run->lanes, id) != NULL) {
        run->counted.changed++;
        mark_readers(run, id);
    }
    return MW_OK;
}

/* Marks the readers of all columns there are. */
static void mark_given(lanes_run *run)
{
    for (uint32_t id = 0; id < run->sheet->count; id++) {
        if (mw_lanes_column(run->lanes, id) != NULL) {
            run->given[id / 64] |= UINT64_C(1) << (id % 64);
            mark_readers(run, id);
        }
    }
}

mw_status mw_sheet_lanes(mw_sheet *sheet, mw_lanes *lanes, mw_changes *changes)
{
    assert(sheet->edit == NULL);
    lanes_run run = {.sheet = sheet, .lanes = lanes, .machine = sheet_machine(sheet)};
    run.given = mw_memory_get((sheet->count / 64 + 1) * sizeof *run.given);
    if (run.given == NULL) {
        return MW_NO_MEMORY;
    }
    mark_given(&run);
    mw_status status = MW_OK;
    uint32_t position;
    while (status == MW_OK && (position = marks_take(&sheet->marks)) != MW_NONE) {
        status = compute_cell(&run, sheet->order[position]);
    }
    marks_clear(&sheet->marks);
    mw_memory_give(run.given);
    if (changes != NULL) {
        *changes = run.counted;
    }
    return status;
}
