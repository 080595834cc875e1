/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nodes that are computed outside. A hidden cell, the hub, stands for the node in the order: it
 * reads the inputs, and the outputs read it. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "inside.h"

void outside_free(outside_node *node)
{
    if (node != NULL) {
        mw_memory_give(node->inputs);
        mw_memory_give(node->seen);
        mw_memory_give(node->results);
        mw_memory_give((void *)node->columns);
        mw_memory_give(node->varying);
        mw_memory_give((void *)node->outs);
        mw_memory_give(node);
    }
}

static outside_node *make_node(const mw_outside_node *from)
{
    outside_node *node = mw_memory_get(sizeof *node);
    if (node == NULL) {
        return NULL;
    }
    node->compute = from->compute;
    node->context = from->context;
    node->input_count = from->input_count;
    node->first_output = from->first_output;
    node->output_count = from->output_count;
    node->inputs = mw_memory_get(from->input_count * sizeof *node->inputs);
    node->seen = mw_memory_get(2 * (size_t)from->input_count * sizeof *node->seen);
    node->results = mw_memory_get(from->output_count * sizeof *node->results);
    node->columns = mw_memory_get(from->input_count * sizeof *node->columns);
    node->varying = mw_memory_get(from->input_count * sizeof *node->varying);
    node->outs = mw_memory_get(from->output_count * sizeof *node->outs);
    if (node->inputs == NULL || node->seen == NULL || node->results == NULL ||
        node->columns == NULL || node->varying == NULL || node->outs == NULL) {
        outside_free(node);
        return NULL;
    }
    if (from->input_count > 0) {
        memcpy(node->inputs, from->inputs, from->input_count * sizeof *node->inputs);
    }
    return node;
}

/* Puts a node into the sheet's list, where no cell outside the edit refers to it. MW_NONE: no
 * memory. */
static uint32_t place_node(mw_edit *edit, outside_node *node)
{
    mw_sheet *sheet = edit->sheet;
    if (!grow_array(edit->nodes, edit->node_capacity, edit->node_count + 1)) {
        return MW_NONE;
    }
    uint32_t at = 0;
    while (at < sheet->node_count && sheet->nodes[at] != NULL) {
        at++;
    }
    if (at == sheet->node_count) {
        if (!grow_array(sheet->nodes, sheet->node_capacity, at + 1)) {
            return MW_NONE;
        }
        sheet->node_count++;
    }
    sheet->nodes[at] = node;
    edit->nodes[edit->node_count++] = at;
    return at;
}

bool outside_drop(mw_edit *edit, uint32_t hub)
{
    cell *c = edit_touch(edit, hub);
    if (c == NULL) {
        return false;
    }
    c->kind = CELL_EMPTY;
    c->state = STATE_SETTLED;
    *code_now(edit->sheet, hub) = (code_range){0, 0};
    return true;
}

/* The hub of the node that had this first output before, or a new cell. */
static uint32_t hub_for(mw_edit *edit, uint32_t first_output)
{
    const mw_sheet *sheet = edit->sheet;
    const cell *now = cell_now(sheet, first_output);
    if (now->kind == CELL_OUTPUT) {
        return now->part;
    }
    const cell *old = &sheet->cells[first_output];
    if (first_output < sheet->count && old->kind == CELL_OUTPUT) {
        return old->part;
    }
    return edit_take_cells(edit, 1);
}

static bool define_outputs(mw_edit *edit, const mw_outside_node *node, uint32_t hub)
{
    for (uint32_t i = 0; i < node->output_count; i++) {
        cell *c = edit_touch(edit, node->first_output + i);
        if (c == NULL) {
            return false;
        }
        assert(c->kind == CELL_VALUE || c->kind == CELL_OUTPUT);
        c->kind = CELL_OUTPUT;
        c->state = STATE_WAITING;
        c->part = hub;
    }
    return true;
}

void mw_edit_outside(mw_edit *edit, const mw_outside_node *from)
{
    if (edit->no_memory) {
        return; /* cells may be missing */
    }
    assert(from->output_count > 0);
    const uint32_t hub = hub_for(edit, from->first_output);
    outside_node *node = hub == MW_NONE ? NULL : make_node(from);
    const uint32_t at = node == NULL ? MW_NONE : place_node(edit, node);
    cell *c = at == MW_NONE ? NULL : edit_touch(edit, hub);
    if (c == NULL || !define_outputs(edit, from, hub)) {
        if (at == MW_NONE) {
            outside_free(node);
        }
        edit->no_memory = true;
        return;
    }
    node->hub = hub;
    c = cell_now(edit->sheet, hub);
    c->kind = CELL_HUB;
    c->state = STATE_WAITING;
    c->part = at;
    *code_now(edit->sheet, hub) = (code_range){MW_NONE, 0};
}

/* Whether an input differs from that of the last call; takes the new ones over. */
static bool take_inputs(outside_node *node, const double *base)
{
    bool differs = !node->computed;
    for (uint32_t i = 0; i < node->input_count; i++) {
        const double value = base[node->inputs[i]];
        differs = differs || !run_same(value, node->seen[i]);
        node->seen[i] = value;
    }
    node->computed = true;
    return differs;
}

static void clear_results(double *results, uint32_t count)
{
    const double nothing = mw_error_value(MW_CODE_NOT_A_VALUE);
    for (uint32_t i = 0; i < count; i++) {
        results[i] = nothing;
    }
}

/* An infinity is no more a value here than in a formula. */
static double as_value(double result)
{
    if (isfinite(result)) {
        return result;
    }
    const mw_code code = mw_error_code(result);
    return code == MW_CODE_COUNT ? result : mw_error_value(code);
}

void outside_run(mw_sheet *sheet, uint32_t hub, mw_changes *changes)
{
    outside_node *node = sheet->nodes[sheet->cells[hub].part];
    double *base = mw_values_base(sheet->values);
    if (!take_inputs(node, base)) {
        return;
    }
    clear_results(node->results, node->output_count);
    node->compute(node->context, node->seen, node->input_count, node->results, node->output_count);
    changes->computed += node->output_count;
    for (uint32_t i = 0; i < node->output_count; i++) {
        const uint32_t id = node->first_output + i;
        const double value = as_value(node->results[i]);
        if (!run_same(base[id], value)) {
            base[id] = value;
            changes->changed++;
            run_mark_readers(sheet, id);
        }
    }
}

/* Finds the inputs that differ from lane to lane, and writes the others behind those of the last call; returns them. */
static double *lay_inputs(const mw_sheet *sheet, const mw_lanes *lanes, outside_node *node)
{
    const double *base = mw_values_base(sheet->values);
    double *inputs = node->seen + node->input_count;
    node->varying_count = 0;
    for (uint32_t i = 0; i < node->input_count; i++) {
        const double *column = mw_lanes_column(lanes, node->inputs[i]);
        inputs[i] = base[node->inputs[i]];
        if (column != NULL) {
            node->columns[node->varying_count] = column;
            node->varying[node->varying_count++] = i;
        }
    }
    return inputs;
}

/* Gives every output a column, and finds those that are written. */
static mw_status lay_outputs(mw_lanes *lanes, outside_node *node, const uint64_t *given)
{
    for (uint32_t i = 0; i < node->output_count; i++) {
        const uint32_t id = node->first_output + i;
        double *column = mw_lanes_give(lanes, id);
        if (column == NULL) {
            return MW_NO_MEMORY;
        }
        node->outs[i] = (given[id / 64] >> (id % 64) & 1) == 0 ? column : NULL;
    }
    return MW_OK;
}

mw_status outside_run_lanes(mw_sheet *sheet, uint32_t hub, mw_lanes *lanes, const uint64_t *given)
{
    outside_node *node = sheet->nodes[sheet->cells[hub].part];
    if (lay_outputs(lanes, node, given) != MW_OK) {
        return MW_NO_MEMORY;
    }
    double *inputs = lay_inputs(sheet, lanes, node);
    for (uint32_t lane = 0; lane < mw_lanes_width(lanes); lane++) {
        for (uint32_t i = 0; i < node->varying_count; i++) {
            inputs[node->varying[i]] = node->columns[i][lane];
        }
        clear_results(node->results, node->output_count);
        node->compute(node->context, inputs, node->input_count, node->results, node->output_count);
        for (uint32_t i = 0; i < node->output_count; i++) {
            if (node->outs[i] != NULL) {
                node->outs[i][lane] = as_value(node->results[i]);
            }
        }
    }
    return MW_OK;
}
