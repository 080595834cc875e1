/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compiling the definition of one cell. Code is put at the end of the sheet's, so that cells
 * compiled after what they read lie in the order in which they will run. */
#include <assert.h>

#include "inside.h"
#include "like.h"

/* Notes that what a formula names must be compiled first, for all names of the formula at once,
 * so that it is looked at twice and not once more for each of them. */
static mw_status discover(mw_edit *edit, const mw_scope *scope)
{
    const mw_ast *ast = &edit->sheet->ast;
    for (uint32_t i = 0; i < ast->node_count; i++) {
        const mw_node *node = &ast->nodes[i];
        if (node->kind != MW_NODE_PATH) {
            continue;
        }
        const mw_path path = {.parts = &ast->parts[node->a],
                              .count = node->count,
                              .span = {ast->source, node->begin, node->end}};
        mw_reference found;
        const mw_status status = scope->find(scope->context, &path, &found, edit->diags);
        if (status == MW_FAILED || status == MW_NO_MEMORY) {
            return status;
        }
    }
    return MW_PENDING;
}

/* Lets names be found by their places in the text, where they are known. Returns the shape of
 * the formula; MW_NONE: none. */
static uint32_t begin_names(mw_sheet *sheet, uint32_t id)
{
    known_words *known = &sheet->known;
    known->at = known->words != NULL && id >= known->first_cell && id < known->end_cell
                    ? known->words + sheet->wires[id].first_reader
                    : NULL;
    return known->at == NULL ? MW_NONE : cell_now(sheet, id)->part;
}

/* What to do about a formula that waits for others. */
static mw_status wait_for_needs(mw_edit *edit, uint32_t id, const mw_scope *scope, uint32_t start)
{
    if (edit->loop == MW_NONE) {
        edit->stack_count = start;
        begin_names(edit->sheet, id);
        const mw_status status = discover(edit, scope);
        if (status != MW_PENDING && edit->loop == MW_NONE) {
            return status;
        }
    }
    const mw_status status = walk_needs(edit, start);
    if (status != MW_OK) {
        return status;
    }
    mw_diags_error(edit->diags, MW_CODE_INTERNAL, (mw_span){MW_NONE, 0, 0},
                   "a name is never worked out");
    return MW_FAILED;
}

/* Says for whom the list lines were named that the check at hand came across. */
static void keep_uses(mw_edit *edit, uint32_t id, uint32_t start)
{
    uint32_t kept = start;
    for (uint32_t i = start; i < edit->use_count; i++) {
        bool known = false;
        for (uint32_t k = start; k < kept && !known; k++) {
            known = edit->uses[k].line == edit->uses[i].line;
        }
        if (!known) {
            edit->uses[kept++] = (list_use){edit->uses[i].line, id};
        }
    }
    edit->use_count = kept;
    cell *c = cell_now(edit->sheet, id);
    c->flags = (uint8_t)(kept > start ? c->flags | FLAG_LISTS : c->flags & ~FLAG_LISTS);
}

static const mw_scope *scope_of(mw_edit *edit, uint32_t id)
{
    const uint32_t number = *edit_given(edit, id);
    return number == 0 ? &edit->sheet->scope : edit->scopes[number - 1];
}

/* What is read must be compiled first even where the scope knew its kind beforehand. */
static mw_status wait_for_reads(mw_edit *edit, uint32_t start)
{
    uint32_t count;
    const uint32_t *reads = mw_compiler_reads(edit->sheet->compiler, &count);
    for (uint32_t i = 0; i < count; i++) {
        walk_need(edit, reads[i]);
    }
    edit->edges += count;
    return walk_needs(edit, start);
}

static void settle_meaning(mw_edit *edit, uint32_t id, const mw_meaning *meaning)
{
    cell *c = cell_now(edit->sheet, id);
    if ((c->flags & FLAG_TYPE_GIVEN) == 0) {
        c->type = meaning->type;
    }
    if ((c->flags & FLAG_UNIT_GIVEN) == 0) {
        c->unit = meaning->unit;
    }
    c->shape = (uint8_t)meaning->shape;
}

void compile_fold(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    const code_range code = *code_now(sheet, id);
    const mw_machine machine = sheet_machine(sheet);
    const double before = machine.base[id];
    mw_run(&machine, sheet->code.items + code.begin, code.count);
    const double value = machine.base[id];
    machine.base[id] = before;
    edit_set_value(edit, id, value);
}

static mw_status emit_single(mw_edit *edit, uint32_t id, bool folds)
{
    mw_sheet *sheet = edit->sheet;
    cell_now(sheet, id)->length = 0;
    uint32_t read_count;
    const uint32_t *reads = mw_compiler_reads(sheet->compiler, &read_count);
    const uint32_t start = sheet->code.count;
    const uint32_t constants = mw_values_constants(sheet->values);
    if (mw_compiler_emit(sheet->compiler, &id, &sheet->code, NULL) != MW_OK) {
        return MW_NO_MEMORY;
    }
    *code_now(sheet, id) = (code_range){start, sheet->code.count - start};
    if (folds) {
        compile_fold(edit, id);
        sheet->code.count = start;
        mw_values_forget(sheet->values, constants);
        return MW_OK;
    }
    return prepare_sequence(edit, id) && prepare_note_reads(edit, reads, read_count) ? MW_OK
                                                                                     : MW_NO_MEMORY;
}

static mw_status emit_formula(mw_edit *edit, uint32_t id, const mw_meaning *meaning)
{
    const bool folds = template_folds(&edit->sheet->ast, meaning);
    settle_meaning(edit, id, meaning);
    const mw_status status = meaning->shape == MW_SHAPE_ONE
                                 ? emit_single(edit, id, folds)
                                 : compile_elements(edit, id, meaning, folds);
    return status == MW_OK && !prepare_sequence(edit, id) ? MW_NO_MEMORY : status;
}

/* A number with its unit, as most inputs are, is its own meaning. */
static bool is_literal(const mw_sheet *sheet, const mw_question *question, mw_meaning *meaning,
                       double *value)
{
    const mw_node *node = &question->ast->nodes[question->root];
    if (node->kind != MW_NODE_NUMBER || question->slot != MW_NONE) {
        return false;
    }
    const bool plain = node->unit == MW_UNIT_ONE;
    *value = plain ? node->number : mw_unit_to_si(sheet->measure, node->unit, node->number);
    *meaning =
        (mw_meaning){.type = plain ? MW_TYPE_NUMBER : mw_unit_type(sheet->measure, node->unit),
                     .unit = node->unit,
                     .shape = MW_SHAPE_ONE,
                     .length = 1,
                     .constant = true};
    return mw_error_code(*value) == MW_CODE_COUNT;
}

/* A formula that is refused needs nothing any more. */

static mw_status forget_needs(mw_edit *edit, uint32_t start)
{
    edit->loop = MW_NONE;
    edit->broken = false;
    edit->stack_count = edit->stack_count < start ? edit->stack_count : start;
    return MW_FAILED;
}

static mw_status compile_at_length(mw_edit *edit, uint32_t id, uint32_t *root)
{
    mw_sheet *sheet = edit->sheet;
    const cell *c = cell_now(sheet, id);
    const mw_scope *scope = scope_of(edit, id);
    const uint32_t start = edit->stack_count;
    const uint32_t uses = edit->use_count;
    const mw_reader reader = {&sheet->ast, sheet->measure, sheet->sources, edit->diags};
    mw_question question = {.ast = &sheet->ast,
                            .scope = scope,
                            .slot = (c->flags & FLAG_TYPE_GIVEN) != 0 ? c->type : MW_NONE};
    mw_ast_clear(&sheet->ast);
    mw_meaning meaning;
    double value;
    mw_status status = mw_parse_formula(&reader, c->formula, root);
    question.root = *root;
    if (status == MW_OK && is_literal(sheet, &question, &meaning, &value)) {
        cell_now(sheet, id)->length = 0;
        settle_meaning(edit, id, &meaning);
        edit_set_value(edit, id, value);
        return MW_OK;
    }
    if (status == MW_OK) {
        status = mw_compiler_check(sheet->compiler, &question, &meaning, edit->diags);
        if (status == MW_OK && question.slot != MW_NONE && meaning.shape == MW_SHAPE_LIST) {
            mw_diags_error(edit->diags, MW_CODE_IS_A_LIST, c->formula,
                           "a single value is expected here, not a list");
            status = MW_FAILED;
        }
        if (status == MW_PENDING) {
            status = wait_for_needs(edit, id, scope, start);
        } else if (status == MW_OK) {
            status = wait_for_reads(edit, start);
        }
    }
    if (status != MW_OK) {
        edit->use_count = uses;
        return status == MW_FAILED ? forget_needs(edit, start) : status;
    }
    keep_uses(edit, id, uses);
    return emit_formula(edit, id, &meaning);
}

mw_status compile_formula(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t shape = begin_names(sheet, id);
    mw_status status = shape == MW_NONE ? MW_NOT_FOUND : like_compile(edit, id, shape);
    if (status == MW_NOT_FOUND) {
        uint32_t root;
        status = compile_at_length(edit, id, &root);
        if (status == MW_OK && shape != MW_NONE) {
            like_learn(edit, id, shape, root);
        }
    }
    if (status == MW_OK) {
        cell_now(sheet, id)->part = MW_NONE;
    }
    return status;
}

bool compile_alike(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    const known_words *known = &sheet->known;
    if (id < known->first_cell || id >= known->end_cell) {
        return false;
    }
    cell *c = &sheet->cells[id];
    if (c->part == MW_NONE || like_compile(edit, id, c->part) != MW_OK) {
        return false;
    }
    c->part = MW_NONE;
    c->state = STATE_SETTLED;
    return true;
}

static void need(void *context, uint32_t id)
{
    walk_need(context, id);
}

static void count_edge(void *context, uint32_t id)
{
    (void)id;
    ++*(uint32_t *)context;
}

mw_status compile_visit(mw_edit *edit, uint32_t id)
{
    const mw_sheet *sheet = edit->sheet;
    if (id < sheet->count && sheet->cells[id].draft == MW_NONE) {
        return retype_visit(edit, id);
    }
    const uint32_t start = edit->stack_count;
    mw_status status = MW_OK;
    switch ((cell_kind)cell_now(sheet, id)->kind) {
    case CELL_FORMULA:
        return compile_formula(edit, id);
    case CELL_BOUND:
        return compile_bound(edit, id);
    case CELL_SUM:
        return compile_sum(edit, id);
    case CELL_HUB:
    case CELL_OUTPUT:
        graph_reads(sheet, id, count_edge, &edit->edges);
        graph_reads(sheet, id, need, edit);
        status = walk_needs(edit, start);
        return status == MW_OK && !prepare_sequence(edit, id) ? MW_NO_MEMORY : status;
    case CELL_EMPTY:
    case CELL_VALUE:
    case CELL_ELEMENT:
    case CELL_PARTIAL:
        break;
    }
    return status;
}
