/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the cells of an edit are to be. */
#include <assert.h>
#include <string.h>

#include "inside.h"

/* Begins a definition: nothing is left of what the cell was but its name, and its hidden cells,
 * which may serve again. */
static cell *define(mw_edit *edit, uint32_t id, cell_kind kind)
{
    cell *c = id == MW_NONE ? NULL : edit_touch(edit, id);
    if (c == NULL) {
        return NULL; /* no memory, noted when it happened */
    }
    assert(c->kind != CELL_ELEMENT && c->kind != CELL_PARTIAL && c->kind != CELL_HUB);
    if (c->kind == CELL_OUTPUT && !outside_drop(edit, c->part)) {
        return NULL;
    }
    c = cell_now(edit->sheet, id);
    c->kind = (uint8_t)kind;
    c->formula = (mw_span){MW_NONE, 0, 0};
    c->shape = MW_SHAPE_ONE;
    c->state = STATE_WAITING;
    c->flags = 0;
    c->part = MW_NONE;
    *code_now(edit->sheet, id) = (code_range){0, 0};
    return c;
}

/* Returns the number of a scope, 0 for the sheet's own. */
static uint32_t scope_number(mw_edit *edit, const mw_scope *scope)
{
    if (scope == NULL || scope == &edit->sheet->scope) {
        return 0;
    }
    if (edit->scope_count > 0 && edit->scopes[edit->scope_count - 1] == scope) {
        return edit->scope_count;
    }
    if (!grow_array(edit->scopes, edit->scope_capacity, edit->scope_count + 1)) {
        edit->no_memory = true;
        return 0;
    }
    edit->scopes[edit->scope_count++] = scope;
    return edit->scope_count;
}

void mw_edit_formula(mw_edit *edit, uint32_t id, const mw_definition *definition)
{
    cell *c = define(edit, id, CELL_FORMULA);
    if (c == NULL) {
        return;
    }
    const uint32_t scope = scope_number(edit, definition->scope);
    c->formula = definition->formula;
    c->type = definition->slot == MW_NONE ? MW_TYPE_NUMBER : definition->slot;
    c->unit = definition->unit == MW_NONE ? MW_UNIT_ONE : definition->unit;
    c->flags = (uint8_t)((definition->slot == MW_NONE ? 0 : FLAG_TYPE_GIVEN) |
                         (definition->unit == MW_NONE ? 0 : FLAG_UNIT_GIVEN) |
                         (scope == 0 ? 0 : FLAG_OWN_SCOPE));
    *edit_given(edit, id) = scope;
}

/* Notes cells for later. Returns where they stand, MW_NONE when there is no memory. */
static uint32_t pool_room(mw_edit *edit, uint32_t count)
{
    if (!grow_array(edit->pool, edit->pool_capacity, edit->pool_count + count)) {
        edit->no_memory = true;
        return MW_NONE;
    }
    const uint32_t at = edit->pool_count;
    edit->pool_count += count;
    return at;
}

void mw_edit_bind(mw_edit *edit, uint32_t id, const mw_template *made, const uint32_t *map,
                  uint32_t length)
{
    cell *c = define(edit, id, CELL_BOUND);
    const uint32_t at = c == NULL ? MW_NONE : pool_room(edit, made->port_count);
    if (at == MW_NONE) {
        return;
    }
    (void)length; /* only looked at by the assertion */
    for (uint32_t i = 0; i < made->port_count; i++) {
        assert(made->ports[i] < length);
        edit->pool[at + i] = map[made->ports[i]];
    }
    c->formula = made->span;
    c->type = made->type;
    c->unit = made->meaning.unit;
    c->part = made->id;
    *edit_given(edit, id) = at;
}

void mw_edit_unit(mw_edit *edit, uint32_t id, mw_unit unit)
{
    cell *c = id == MW_NONE ? NULL : edit_touch(edit, id);
    if (c != NULL) {
        c->unit = unit;
        c->flags |= FLAG_UNIT_GIVEN;
    }
}

void mw_edit_value(mw_edit *edit, uint32_t id, const mw_constant *constant)
{
    cell *c = define(edit, id, CELL_VALUE);
    if (c == NULL) {
        return;
    }
    c->formula = constant->from;
    c->type = constant->type;
    c->unit = constant->unit;
    c->state = STATE_SETTLED;
    c->length = 0;
    edit_set_value(edit, id, constant->value);
}

void mw_edit_sum(mw_edit *edit, uint32_t id, const uint32_t *cells, uint32_t count, mw_type type)
{
    cell *c = define(edit, id, CELL_SUM);
    const uint32_t at = c == NULL ? MW_NONE : pool_room(edit, count + 1);
    if (at == MW_NONE) {
        return;
    }
    edit->pool[at] = count;
    if (count > 0) {
        memcpy(edit->pool + at + 1, cells, count * sizeof *cells);
    }
    c->type = type;
    c->unit = mw_unit_usual(edit->sheet->measure, type);
    c->flags = FLAG_TYPE_GIVEN;
    *edit_given(edit, id) = at;
}

void mw_edit_broken(mw_edit *edit, uint32_t id, mw_type type)
{
    cell *c = define(edit, id, CELL_VALUE);
    if (c == NULL) {
        return;
    }
    c->type = type;
    c->unit = mw_unit_usual(edit->sheet->measure, type);
    c->state = STATE_FAILED;
    c->length = 0;
    edit->refused = true;
    edit_set_value(edit, id, mw_error_value(MW_CODE_NOT_A_VALUE));
}

void mw_edit_remove(mw_edit *edit, uint32_t id)
{
    cell *c = define(edit, id, CELL_EMPTY);
    if (c != NULL) {
        c->type = MW_TYPE_NUMBER;
        c->unit = MW_UNIT_ONE;
        c->state = STATE_SETTLED;
        c->length = 0;
        edit_set_value(edit, id, mw_error_value(MW_CODE_NOT_A_VALUE));
    }
}
