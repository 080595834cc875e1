/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sheet from beginning to end, and looking at its cells. */
#include <assert.h>

#include "inside.h"

static bool start(mw_sheet *sheet)
{
    sheet->values = mw_values_new();
    sheet->names = mw_names_new();
    if (sheet->values == NULL || sheet->names == NULL) {
        return false;
    }
    sheet->compiler = mw_compiler_new(sheet->measure, sheet->values);
    return sheet->compiler != NULL && mw_diags_start(&sheet->kept_back) == MW_OK;
}

mw_sheet *mw_sheet_new(mw_measure *measure, mw_sources *sources)
{
    mw_sheet *sheet = mw_memory_get(sizeof *sheet);
    if (sheet == NULL) {
        return NULL;
    }
    sheet->measure = measure;
    sheet->sources = sources;
    scope_start(sheet);
    if (!start(sheet)) {
        mw_sheet_free(sheet);
        return NULL;
    }
    return sheet;
}

void mw_sheet_free(mw_sheet *sheet)
{
    if (sheet == NULL) {
        return;
    }
    if (sheet->edit != NULL) {
        mw_edit_cancel(sheet->edit);
    }
    for (uint32_t i = 0; i < sheet->node_count; i++) {
        outside_free(sheet->nodes[i]);
    }
    for (uint32_t i = 0; i < sheet->template_count; i++) {
        template_free(sheet->templates[i]);
    }
    mw_compiler_free(sheet->compiler);
    mw_values_free(sheet->values);
    mw_names_free(sheet->names);
    marks_free(&sheet->marks);
    mw_ast_free(&sheet->ast);
    mw_diags_free(&sheet->kept_back);
    void *blocks[] = {sheet->cell_of_name, sheet->cells,      sheet->wires,  sheet->free_runs,
                      sheet->code.items,   sheet->order,      sheet->breaks, sheet->readers,
                      sheet->late,         sheet->list_uses,  sheet->nodes,  sheet->templates,
                      sheet->slots,        sheet->trial.items};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        mw_memory_give(blocks[i]);
    }
    mw_memory_give(sheet);
}

void mw_sheet_host(mw_sheet *sheet, mw_host host)
{
    assert(sheet->code.count == 0);
    sheet->host = host;
    sheet->scope.host = host;
}

void mw_sheet_owned(mw_sheet *sheet, const mw_sheet_owner *owner)
{
    sheet->owner = *owner;
}

bool sheet_room(mw_sheet *sheet, uint32_t total)
{
    uint32_t cell_capacity = sheet->cell_capacity;
    uint32_t wire_capacity = sheet->cell_capacity;
    if (!grow_array(sheet->cells, cell_capacity, total) ||
        !grow_array(sheet->wires, wire_capacity, total)) {
        return false;
    }
    sheet->cell_capacity = wire_capacity;
    return mw_values_reserve(sheet->values, total);
}

bool sheet_name_room(mw_sheet *sheet, uint32_t count)
{
    const uint32_t before = sheet->name_capacity;
    if (!grow_array(sheet->cell_of_name, sheet->name_capacity, count)) {
        return false;
    }
    for (uint32_t i = before; i < sheet->name_capacity; i++) {
        sheet->cell_of_name[i] = MW_NONE;
    }
    return true;
}

mw_machine sheet_machine(const mw_sheet *sheet)
{
    return (mw_machine){.base = mw_values_base(sheet->values),
                        .host = sheet->host.functions,
                        .host_context = sheet->host.context};
}

uint32_t mw_sheet_count(const mw_sheet *sheet)
{
    return sheet->count;
}

uint32_t mw_sheet_find(const mw_sheet *sheet, mw_str name)
{
    const uint32_t id = mw_names_find(sheet->names, name);
    const uint32_t found = id == MW_NONE ? MW_NONE : sheet->cell_of_name[id];
    return found < sheet->count && sheet->cells[found].kind != CELL_EMPTY ? found : MW_NONE;
}

static bool is_hidden(const cell *c)
{
    return c->kind == CELL_ELEMENT || c->kind == CELL_PARTIAL;
}

mw_str mw_sheet_name(const mw_sheet *sheet, uint32_t id)
{
    assert(id < sheet->count);
    const cell *c = &sheet->cells[id];
    return is_hidden(c) || c->name == MW_NONE ? (mw_str){"", 0}
                                              : mw_names_text(sheet->names, c->name);
}

double mw_sheet_value(const mw_sheet *sheet, uint32_t id)
{
    assert(id < sheet->count);
    return mw_values_base(sheet->values)[id];
}

mw_type mw_sheet_type(const mw_sheet *sheet, uint32_t id)
{
    assert(id < sheet->count);
    return sheet->cells[id].type;
}

mw_unit mw_sheet_unit(const mw_sheet *sheet, uint32_t id)
{
    assert(id < sheet->count);
    return sheet->cells[id].unit;
}

mw_span mw_sheet_formula(const mw_sheet *sheet, uint32_t id)
{
    assert(id < sheet->count);
    return sheet->cells[id].formula;
}

mw_values *mw_sheet_values(mw_sheet *sheet)
{
    return sheet->values;
}

mw_measure *mw_sheet_measure(mw_sheet *sheet)
{
    return sheet->measure;
}

mw_sources *mw_sheet_sources(mw_sheet *sheet)
{
    return sheet->sources;
}

uint32_t mw_sheet_elements(const mw_sheet *sheet, uint32_t id, uint32_t *count, mw_shape *shape)
{
    assert(id < sheet->count);
    const cell *c = &sheet->cells[id];
    *shape = (mw_shape)c->shape;
    *count = c->shape == MW_SHAPE_ONE ? 1 : c->length;
    return c->shape == MW_SHAPE_ONE ? id : c->first;
}

uint32_t sheet_owner_of(const mw_sheet *sheet, uint32_t id)
{
    const cell *c = cell_now(sheet, id);
    return is_hidden(c) ? c->name : id;
}

void sheet_place_words(const mw_sheet *sheet, mw_span span, mw_text *out)
{
    if (span.source != MW_NONE) {
        const mw_place place = mw_sources_place(sheet->sources, span.source, span.begin);
        mw_text_addf(out, "(%.*s:%u)", (int)place.name.length, place.name.at, place.line);
    }
}

void sheet_cell_words(const mw_sheet *sheet, uint32_t id, mw_text *out)
{
    uint32_t owner = sheet_owner_of(sheet, id);
    const cell *c = cell_now(sheet, owner);
    if (c->kind == CELL_HUB) {
        owner = sheet->nodes[c->part]->first_output;
        c = cell_now(sheet, owner);
    }
    const size_t before = out->length;
    if (c->name != MW_NONE) {
        mw_text_addc(out, '`');
        mw_text_add_str(out, mw_names_text(sheet->names, c->name));
        mw_text_addc(out, '`');
    } else if (sheet->owner.name_of != NULL) {
        sheet->owner.name_of(sheet->owner.context, owner, out);
    } else {
        sheet_place_words(sheet, c->formula, out);
    }
    if (out->length == before) {
        mw_text_adds(out, "a value without a name");
    }
}

static size_t template_bytes(const mw_template *made)
{
    return sizeof *made + made->code.capacity * sizeof(mw_instruction) +
           made->port_count * (sizeof *made->ports + sizeof *made->port_types) +
           made->meaning.length * sizeof *made->ends;
}

size_t mw_sheet_bytes(const mw_sheet *sheet)
{
    size_t bytes = sizeof *sheet + mw_values_bytes(sheet->values) + mw_names_bytes(sheet->names);
    bytes += sheet->cell_capacity * (sizeof *sheet->cells + sizeof *sheet->wires);
    bytes += ((size_t)sheet->code.capacity + sheet->trial.capacity) * sizeof(mw_instruction);
    bytes += ((size_t)sheet->name_capacity + sheet->order_capacity + sheet->reader_count +
              sheet->slot_capacity) *
             sizeof(uint32_t);
    bytes += ((size_t)sheet->break_words + sheet->marks.words) * sizeof(uint64_t);
    bytes += sheet->late_capacity * sizeof *sheet->late;
    bytes += sheet->list_use_capacity * sizeof *sheet->list_uses;
    bytes += sheet->free_capacity * sizeof *sheet->free_runs;
    for (uint32_t i = 0; i < sheet->template_count; i++) {
        bytes += template_bytes(sheet->templates[i]);
    }
    for (uint32_t i = 0; i < sheet->node_count; i++) {
        const outside_node *node = sheet->nodes[i];
        if (node != NULL) {
            bytes += sizeof *node +
                     node->input_count * (sizeof *node->inputs + sizeof *node->seen) +
                     node->output_count * sizeof *node->results;
        }
    }
    return bytes;
}
