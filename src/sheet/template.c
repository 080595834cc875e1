/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas that are compiled once and bound to many cells. */
#include <assert.h>
#include <string.h>

#include "inside.h"

void template_free(mw_template *made)
{
    if (made != NULL) {
        mw_memory_give(made->code.items);
        mw_memory_give(made->ends);
        mw_memory_give(made->ports);
        mw_memory_give(made->port_types);
        mw_memory_give(made);
    }
}

bool template_folds(const mw_ast *ast, const mw_meaning *meaning)
{
    for (uint32_t i = 0; meaning->constant && i < ast->node_count; i++) {
        if (ast->nodes[i].kind == MW_NODE_CALL) {
            return false;
        }
    }
    return meaning->constant;
}

/* The scope of a template with the kinds of its ports written down. */
typedef struct port_scope {
    const mw_scope *inner;
    mw_template *made;
    uint32_t capacity, type_capacity; /* of its ports */
    bool no_memory;
} port_scope;

static bool note_port(port_scope *scope, uint32_t port, mw_type type)
{
    mw_template *made = scope->made;
    for (uint32_t i = 0; i < made->port_count; i++) {
        if (made->ports[i] == port) {
            return true;
        }
    }
    if (!grow_array(made->ports, scope->capacity, made->port_count + 1) ||
        !grow_array(made->port_types, scope->type_capacity, made->port_count + 1)) {
        scope->no_memory = true;
        return false;
    }
    made->ports[made->port_count] = port;
    made->port_types[made->port_count++] = type;
    return true;
}

static bool note_reference(port_scope *scope, const mw_reference *found)
{
    if (found->constant) {
        return true;
    }
    if (!found->list) {
        return note_port(scope, found->slot, found->type);
    }
    for (uint32_t i = 0; i < found->count; i++) {
        if (!note_port(scope, found->slots[i], found->type)) {
            return false;
        }
    }
    return true;
}

static mw_status find_port(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    port_scope *scope = context;
    const mw_status status = scope->inner->find(scope->inner->context, path, out, diags);
    return status == MW_OK && !note_reference(scope, out) ? MW_NO_MEMORY : status;
}

static bool suggest_port(void *context, const mw_path *path, mw_text *out)
{
    const port_scope *scope = context;
    return scope->inner->suggest != NULL && scope->inner->suggest(scope->inner->context, path, out);
}

/* Keeps only the ports that the code reads, in the order of their first appearance. */
static void keep_read_ports(mw_template *made, const uint32_t *reads, uint32_t count)
{
    uint32_t kept = 0;
    made->result = 0;
    for (uint32_t i = 0; i < count; i++) {
        made->result = reads[i] >= made->result ? reads[i] + 1 : made->result;
        uint32_t at = kept;
        while (at < made->port_count && made->ports[at] != reads[i]) {
            at++;
        }
        if (at < made->port_count) {
            const mw_type type = made->port_types[at];
            made->ports[at] = made->ports[kept];
            made->port_types[at] = made->port_types[kept];
            made->ports[kept] = reads[i];
            made->port_types[kept++] = type;
        }
    }
    made->port_count = kept;
}

static mw_status emit_template(mw_sheet *sheet, mw_template *made)
{
    uint32_t count;
    const uint32_t *reads = mw_compiler_reads(sheet->compiler, &count);
    keep_read_ports(made, reads, count);
    const uint32_t length = made->meaning.length;
    made->ends = mw_memory_get(length * sizeof *made->ends);
    uint32_t *to = mw_memory_get(length * sizeof *to);
    mw_status status = made->ends == NULL || to == NULL ? MW_NO_MEMORY : MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < length; i++) {
        to[i] = made->result + i;
    }
    if (status == MW_OK) {
        status = mw_compiler_emit(sheet->compiler, to, &made->code, made->ends);
    }
    mw_memory_give(to);
    return status;
}

static mw_status check_template(mw_sheet *sheet, mw_template *made, port_scope *ports, mw_type slot,
                                mw_diags *diags)
{
    const mw_scope scope = {.context = ports,
                            .find = find_port,
                            .suggest = suggest_port,
                            .usual = ports->inner->usual,
                            .host = ports->inner->host};
    const mw_reader reader = {&sheet->ast, sheet->measure, sheet->sources, diags};
    mw_question question = {.ast = &sheet->ast, .scope = &scope, .slot = slot};
    if (scope.usual != NULL && !note_reference(ports, scope.usual)) {
        return MW_NO_MEMORY;
    }
    mw_ast_clear(&sheet->ast);
    mw_status status = mw_parse_formula(&reader, made->span, &question.root);
    if (status == MW_OK) {
        status = mw_compiler_check(sheet->compiler, &question, &made->meaning, diags);
    }
    if (status == MW_PENDING) {
        mw_diags_error(diags, MW_CODE_INTERNAL, made->span,
                       "a name of this formula has no kind yet");
        status = MW_FAILED;
    }
    if (status != MW_OK) {
        return status;
    }
    made->type = slot == MW_NONE ? made->meaning.type : slot;
    made->folds = template_folds(&sheet->ast, &made->meaning);
    return emit_template(sheet, made);
}

mw_template *mw_sheet_template(mw_sheet *sheet, mw_span span, const mw_scope *scope, mw_type slot,
                               mw_diags *diags)
{
    mw_template *made = mw_memory_get(sizeof *made);
    if (made == NULL ||
        !grow_array(sheet->templates, sheet->template_capacity, sheet->template_count + 1)) {
        mw_memory_give(made);
        return NULL;
    }
    made->span = span;
    made->id = sheet->template_count;
    port_scope ports = {.inner = scope, .made = made};
    if (check_template(sheet, made, &ports, slot, diags) != MW_OK) {
        template_free(made);
        return NULL;
    }
    sheet->templates[sheet->template_count++] = made;
    if (sheet->edit != NULL) {
        sheet->edit->constants = mw_values_constants(sheet->values); /* a template stays */
    }
    return made;
}

const mw_meaning *mw_template_meaning(const mw_template *made)
{
    return &made->meaning;
}

const uint32_t *mw_template_ports(const mw_template *made, uint32_t *count)
{
    *count = made->port_count;
    return made->ports;
}

static mw_status report_port(mw_edit *edit, uint32_t id, mw_type wanted, uint32_t read)
{
    const mw_sheet *sheet = edit->sheet;
    mw_text name = {0};
    mw_text is = {0};
    mw_text needed = {0};
    sheet_cell_words(sheet, read, &name);
    mw_type_words(sheet->measure, cell_now(sheet, read)->type, &is);
    mw_type_words(sheet->measure, wanted, &needed);
    mw_diags_error(edit->diags, MW_CODE_WRONG_KIND, cell_now(sheet, id)->formula,
                   "%s would be %s; %s is expected here", mw_text_chars(&name), mw_text_chars(&is),
                   mw_text_chars(&needed));
    mw_text_free(&name);
    mw_text_free(&is);
    mw_text_free(&needed);
    return MW_FAILED;
}

mw_status template_check_port(mw_edit *edit, uint32_t id, uint32_t port, uint32_t read)
{
    const mw_sheet *sheet = edit->sheet;
    const mw_template *made = sheet->templates[cell_now(sheet, id)->part];
    const mw_type type = cell_now(sheet, read)->type;
    const mw_type wanted = made->port_types[port];
    const mw_type_fault fault =
        type == wanted ? MW_TYPE_FINE : mw_type_fits(sheet->measure, type, wanted);
    if (fault == MW_TYPE_FINE) {
        return MW_OK;
    }
    return fault == MW_TYPE_MEMORY ? MW_NO_MEMORY : report_port(edit, id, wanted, read);
}

static mw_status check_ports(mw_edit *edit, uint32_t id, const mw_template *made,
                             const uint32_t *cells)
{
    const uint32_t start = edit->stack_count;
    for (uint32_t i = 0; i < made->port_count; i++) {
        walk_need(edit, cells[i]);
    }
    mw_status status = walk_needs(edit, start);
    for (uint32_t i = 0; i < made->port_count && status == MW_OK; i++) {
        status = template_check_port(edit, id, i, cells[i]);
    }
    return status;
}

/* Copies the code of a template and puts cells in the place of ports and results. */
static mw_status copy_code(mw_edit *edit, const mw_template *made, const uint32_t *cells,
                           uint32_t first)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t count = made->code.count;
    const uint32_t length = made->meaning.length;
    if (count > UINT32_MAX - 1 - sheet->code.count ||
        !grow_array(sheet->code.items, sheet->code.capacity, sheet->code.count + count) ||
        !grow_array(sheet->slots, sheet->slot_capacity, made->result + length)) {
        return MW_NO_MEMORY;
    }
    uint32_t *map = sheet->slots;
    for (uint32_t i = 0; i < made->port_count; i++) {
        map[made->ports[i]] = cells[i];
    }
    for (uint32_t i = 0; i < length; i++) {
        map[made->result + i] = first + i;
    }
    mw_instruction *code = sheet->code.items + sheet->code.count;
    memcpy(code, made->code.items, count * sizeof *code);
    mw_program_bind(code, count, map);
    sheet->code.count += count;
    return MW_OK;
}

static mw_status place_bound(mw_edit *edit, uint32_t id, const mw_template *made, uint32_t first,
                             uint32_t start)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t length = made->meaning.length;
    if (made->meaning.shape != MW_SHAPE_ONE) {
        if (!grow_array(edit->ends, edit->end_capacity, length)) {
            return MW_NO_MEMORY;
        }
        for (uint32_t i = 0; i < length; i++) {
            edit->ends[i] = start + made->ends[i];
        }
        return compile_place(edit, id, &(result_place){&made->meaning, first, start, made->folds});
    }
    *code_now(sheet, id) = (code_range){start, sheet->code.count - start};
    edit->edges += made->port_count;
    if (made->folds) {
        compile_fold(edit, id);
        sheet->code.count = start;
    }
    return MW_OK;
}

mw_status compile_bound(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    const mw_template *made = sheet->templates[cell_now(sheet, id)->part];
    const uint32_t *cells = made->port_count == 0 ? NULL : edit->pool + *edit_given(edit, id);
    mw_status status = check_ports(edit, id, made, cells);
    if (status != MW_OK) {
        return status;
    }
    const uint32_t length = made->meaning.length;
    uint32_t first = id;
    cell_now(sheet, id)->shape = (uint8_t)made->meaning.shape;
    if (made->meaning.shape == MW_SHAPE_ONE) {
        cell_now(sheet, id)->length = 0;
    } else {
        first = compile_hidden(edit, id, length, CELL_ELEMENT);
        if (first == MW_NONE && length > 0) {
            return MW_NO_MEMORY;
        }
    }
    const uint32_t start = sheet->code.count;
    status = copy_code(edit, made, cells, first);
    if (status == MW_OK) {
        status = place_bound(edit, id, made, first, start);
    }
    return status == MW_OK && !prepare_sequence(edit, id) ? MW_NO_MEMORY : status;
}
