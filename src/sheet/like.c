/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compiling by patterns; see like.h. */
#include "like.h"

#include <math.h>
#include <string.h>

#include "inside.h"
#include "mouldwright/number.h"

#define HOPELESS (MW_NONE - 1) /* a shape that makes no pattern */

bool like_start(likes *all)
{
    all->shapes = mw_names_new();
    return all->shapes != NULL && mw_diags_start(&all->quiet) == MW_OK;
}

void like_end(likes *all)
{
    mw_names_free(all->shapes);
    mw_diags_free(&all->quiet);
    mw_memory_give(all->first);
    mw_memory_give(all->patterns);
    mw_memory_give(all->leaves);
    mw_memory_give(all->code.items);
    *all = (likes){0};
}

uint32_t like_shape(likes *all, mw_str text)
{
    return mw_names_count(all->shapes) < LIKE_SHAPES ? mw_names_add(all->shapes, text)
                                                     : mw_names_find(all->shapes, text);
}

/* Whether a pattern is for these leaves: numbers always are, since their units are part of the
 * shape. */
static bool fits(const likes *all, const pattern *p, const like_leaf *leaves)
{
    const like_leaf *wanted = all->leaves + p->first_leaf;
    for (uint32_t i = 0; i < p->leaf_count; i++) {
        if (leaves[i].type != wanted[i].type ||
            (!leaves[i].number && leaves[i].unit != wanted[i].unit)) {
            return false;
        }
    }
    return true;
}

/* A formula at hand: its leaves and what the code is to have for them. */
typedef struct like_formula {
    like_leaf leaves[LIKE_LEAVES];
    const known_word *words;
    uint32_t count;
    uint32_t names;
    uint32_t root; /* of its tree */
    uint32_t map[LIKE_LEAVES + 1 + LIKE_FIXED];
    double fixed[LIKE_FIXED];
    uint32_t fixed_count;
    uint32_t reads[LIKE_LEAVES]; /* cells, each once */
    uint32_t read_count;
} like_formula;

static void add_read(like_formula *f, uint32_t read)
{
    for (uint32_t i = 0; i < f->read_count; i++) {
        if (f->reads[i] == read) {
            return;
        }
    }
    f->reads[f->read_count++] = read;
}

/* Finds the leaves of a cell. False: not all of them can be read now. */
static bool gather(const mw_sheet *sheet, uint32_t id, like_formula *f)
{
    const uint32_t end = sheet->cells[id].formula.end;
    f->words = sheet->known.words + sheet->wires[id].first_reader;
    f->count = 0;
    f->names = 0;
    f->fixed_count = 0;
    f->read_count = 0;
    for (; f->words[f->count].begin < end; f->count++) {
        const uint32_t name = f->words[f->count].name;
        if (f->count == LIKE_LEAVES || name == MW_NONE) {
            return false;
        }
        like_leaf *leaf = &f->leaves[f->count];
        *leaf = (like_leaf){.number = name == LIKE_IS_NUMBER};
        if (leaf->number) {
            continue;
        }
        const uint32_t read = sheet->cell_of_name[name];
        const cell *c = read == MW_NONE ? NULL : cell_now(sheet, read);
        if (c == NULL || c->kind == CELL_EMPTY || c->state != STATE_SETTLED ||
            c->shape == MW_SHAPE_LIST) {
            return false;
        }
        leaf->type = c->type;
        leaf->unit = c->unit;
        f->map[f->count] = read;
        f->names++;
        add_read(f, read);
    }
    return true;
}

/* Reads digits with or without a point among them, which is what a number with a shape is. Few
 * digits make a whole number and a power of ten that doubles hold exactly, so that one division
 * rounds as it should; more are read at length. */
static bool read_digits(const char *at, uint32_t length, double *value)
{
    static const double tens[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                  1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    if (length > 15) {
        return mw_number_read((mw_str){at, length}, value) == length;
    }
    uint64_t whole = 0;
    uint32_t behind = 0;
    for (uint32_t i = 0; i < length; i++) {
        if (at[i] == '.') {
            behind = length - 1 - i;
        } else {
            whole = whole * 10 + (uint64_t)(at[i] - '0');
        }
    }
    *value = (double)whole / tens[behind];
    return true;
}

/* Reads a number as the pattern
 has it. NaN: it is none that can be used. */
static double read_number(const mw_sheet *sheet, const known_word *word, const like_leaf *leaf)
{
    double number;
    if (!read_digits(sheet->known.text + word->begin, word->length, &number)) {
        return mw_error_value(MW_CODE_NOT_A_VALUE);
    }
    number = leaf->negative ? -number : number;
    return leaf->unit == MW_UNIT_ONE ? number : mw_unit_to_si(sheet->measure, leaf->unit, number);
}

/* Gives the numbers their constants. False: one cannot have one. */
static bool place_numbers(mw_sheet *sheet, const pattern *p, like_formula *f)
{
    const like_leaf *wanted = sheet->known.likes->leaves + p->first_leaf;
    for (uint32_t i = 0; i < f->count; i++) {
        if (!wanted[i].number) {
            continue;
        }
        const double value = read_number(sheet, &f->words[i], &wanted[i]);
        if (mw_error_code(value) != MW_CODE_COUNT || value == 0) {
            return false;
        }
        f->map[i] = (uint32_t)mw_values_constant(sheet->values, value);
        if (f->map[i] == 0) {
            return false;
        }
    }
    for (uint32_t i = 0; i < p->fixed_count; i++) {
        uint32_t *place = &f->map[f->count + 1 + i];
        *place = (uint32_t)mw_values_constant(sheet->values, p->fixed[i]);
        if (*place == 0) {
            return false;
        }
    }
    return true;
}

static void settle(mw_edit *edit, uint32_t id, const pattern *p)
{
    cell *c = cell_now(edit->sheet, id);
    c->type = p->type;
    c->unit = p->unit;
    c->length = 0;
}

static mw_status copy_pattern(mw_edit *edit, uint32_t id, const pattern *p, like_formula *f)
{
    mw_sheet *sheet = edit->sheet;
    const likes *all = sheet->known.likes;
    const like_leaf *wanted = all->leaves + p->first_leaf;
    if (p->code_count == 0) {
        const double value = read_number(sheet, &f->words[0], &wanted[0]);
        if (mw_error_code(value) != MW_CODE_COUNT) {
            return MW_NOT_FOUND;
        }
        settle(edit, id, p);
        edit_set_value(edit, id, value);
        return MW_OK;
    }
    const uint32_t start = sheet->code.count;
    if (p->code_count > UINT32_MAX - 1 - start ||
        !grow_array(sheet->code.items, sheet->code.capacity, start + p->code_count)) {
        return MW_NO_MEMORY;
    }
    if (!place_numbers(sheet, p, f)) {
        return MW_NOT_FOUND; /* the long way says what is wrong */
    }
    f->map[f->count] = id;
    mw_instruction *code = sheet->code.items + start;
    memcpy(code, all->code.items + p->first_code, p->code_count * sizeof *code);
    mw_program_bind(code, p->code_count, f->map);
    sheet->code.count = start + p->code_count;
    *code_now(sheet, id) = (code_range){start, p->code_count};
    edit->edges += f->read_count;
    settle(edit, id, p);
    return prepare_sequence(edit, id) && prepare_note_reads(edit, f->reads, f->read_count)
               ? MW_OK
               : MW_NO_MEMORY;
}

mw_status like_compile(mw_edit *edit, uint32_t id, uint32_t shape)
{
    const likes *all = edit->sheet->known.likes;
    like_formula f;
    uint32_t at = shape < all->known ? all->first[shape] : MW_NONE;
    if (at >= HOPELESS || !gather(edit->sheet, id, &f)) {
        return MW_NOT_FOUND;
    }
    for (; at < HOPELESS; at = all->patterns[at].next) {
        if (fits(all, &all->patterns[at], f.leaves)) {
            return copy_pattern(edit, id, &all->patterns[at], &f);
        }
    }
    return MW_NOT_FOUND;
}

/* ---- learning ---- */

/* Numbers that stand in for those of the text: no two are equal, nor is any the sum, product ...
 * of others. */
static double stand_in(uint32_t leaf)
{
    return 1.2345678901 + 0.7182818284 * leaf + 0.0314159265 * leaf * leaf;
}

/* Takes the number of a node out: a leaf gets a stand-in, any other is fixed. */
static bool take_number(like_formula *f, mw_node *node, uint32_t *at)
{
    like_leaf *leaf = &f->leaves[*at];
    if (*at < f->count && leaf->number && f->words[*at].begin >= node->begin &&
        f->words[*at].begin < node->end) {
        leaf->unit = node->unit;
        leaf->negative = signbit(node->number) != 0;
        node->number = stand_in(*at);
        ++*at;
        return true;
    }
    if (f->fixed_count == LIKE_FIXED || node->unit != MW_UNIT_ONE) {
        return false;
    }
    f->fixed[f->fixed_count++] = node->number;
    return true;
}

/* Whether a tree is of the kinds that have patterns. Its leaves stand in it in the order of the
 * text. */
static bool prepare_tree(const mw_ast *ast, like_formula *f)
{
    uint32_t at = 0;
    for (uint32_t i = 0; i < ast->node_count; i++) {
        mw_node *node = &ast->nodes[i];
        switch ((mw_node_kind)node->kind) {
        case MW_NODE_NUMBER:
            if (!take_number(f, node, &at)) {
                return false;
            }
            break;
        case MW_NODE_PATH:
            if (at == f->count || f->leaves[at].number || node->begin != f->words[at].begin) {
                return false;
            }
            at++;
            break;
        case MW_NODE_LIST:
        case MW_NODE_NEGATE:
        case MW_NODE_NOT:
        case MW_NODE_BINARY:
        case MW_NODE_IF:
        case MW_NODE_CALL:
        case MW_NODE_AS:
            break;
        case MW_NODE_DATE:
        case MW_NODE_TEXT:
        case MW_NODE_TRUTH:
        case MW_NODE_USUAL:
        case MW_NODE_RANGE:
            return false;
        }
    }
    return at == f->count;
}

/* The scope of a pattern
: a name is the leaf that it stands at. */
static mw_status find_leaf(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)diags;
    const like_formula *f = context;
    for (uint32_t i = 0; i < f->count; i++) {
        if (f->words[i].begin == path->span.begin) {
            *out = (mw_reference){
                .slot = i, .count = 1, .type = f->leaves[i].type, .unit = f->leaves[i].unit};
            return MW_OK;
        }
    }
    return MW_NOT_FOUND;
}

/* Turns an operand of the compiled stand-ins into a leaf. False: a constant that none of them
 * is. */
static bool name_leaf(const mw_sheet *sheet, const like_formula *f, mw_operand *operand,
                      uint32_t *used)
{
    if (*operand >= -MW_TEMPORARIES) {
        if (*operand >= 0) {
            *used |= UINT32_C(1) << *operand;
        }
        return true;
    }
    const double value = mw_values_base(sheet->values)[*operand];
    for (uint32_t i = 0; i < f->count; i++) {
        const like_leaf *leaf = &f->leaves[i];
        if (leaf->number &&
            value == (leaf->unit == MW_UNIT_ONE
                          ? stand_in(i)
                          : mw_unit_to_si(sheet->measure, leaf->unit, stand_in(i)))) {
            *operand = (mw_operand)i;
            *used |= UINT32_C(1) << i;
            return true;
        }
    }
    for (uint32_t i = 0; i < f->fixed_count; i++) {
        if (value == f->fixed[i]) {
            *operand = (mw_operand)(f->count + 1 + i);
            return true;
        }
    }
    return false;
}

/* Compiles the tree of stand-ins behind the code of all patterns. False: it makes no pattern. */
static bool compile_stand_ins(mw_edit *edit, like_formula *f, pattern *out)
{
    mw_sheet *sheet = edit->sheet;
    likes *all = sheet->known.likes;
    const mw_scope scope = {.context = f, .find = find_leaf, .host = sheet->host};
    const mw_question question = {&sheet->ast, f->root, &scope, MW_NONE};
    mw_meaning meaning;
    if (mw_compiler_check(sheet->compiler, &question, &meaning, &all->quiet) != MW_OK ||
        meaning.shape != MW_SHAPE_ONE ||
        mw_compiler_emit(sheet->compiler, &f->count, &all->code, NULL) != MW_OK) {
        return false;
    }
    uint32_t used = 0;
    for (uint32_t i = out->first_code; i < all->code.count; i++) {
        mw_instruction *at = &all->code.items[i];
        if (!name_leaf(sheet, f, &at->a, &used) || !name_leaf(sheet, f, &at->b, &used) ||
            !name_leaf(sheet, f, &at->c, &used)) {
            return false;
        }
    }
    out->code_count = all->code.count - out->first_code;
    out->type = meaning.type;
    out->unit = meaning.unit;
    memcpy(out->fixed, f->fixed, sizeof out->fixed);
    out->fixed_count = f->fixed_count;
    return used == (UINT32_C(1) << f->count) - 1;
}

static bool make_pattern(mw_edit *edit, uint32_t id, like_formula *f, pattern *out)
{
    mw_sheet *sheet = edit->sheet;
    likes *all = sheet->known.likes;
    if (f->count == 0 || !prepare_tree(&sheet->ast, f)) {
        return false;
    }
    out->first_code = all->code.count;
    if (f->names == 0 && f->count == 1) {
        out->type = cell_now(sheet, id)->type;
        out->unit = cell_now(sheet, id)->unit;
        return sheet->ast.node_count == 1;
    }
    const uint32_t constants = mw_values_constants(sheet->values);
    const cell *known = cell_now(sheet, id);
    const bool made = compile_stand_ins(edit, f, out) && out->type == known->type &&
                      out->unit == known->unit; /* else the numbers decide more than values */
    mw_values_forget(sheet->values, constants);
    if (!made) {
        all->code.count = out->first_code;
    }
    return made;
}

/* Makes `first` of all shapes up to this one known. */
static bool reach_shape(likes *all, uint32_t shape)
{
    if (!grow_array(all->first, all->first_capacity, shape + 1)) {
        return false;
    }
    while (all->known <= shape) {
        all->first[all->known++] = MW_NONE;
    }
    return true;
}

void like_learn(mw_edit *edit, uint32_t id, uint32_t shape, uint32_t root)
{
    likes *all = edit->sheet->known.likes;
    like_formula f;
    pattern made = {0};
    if (!reach_shape(all, shape) || all->first[shape] == HOPELESS || all->count >= LIKE_SHAPES ||
        !gather(edit->sheet, id, &f) || !grow_array(all->patterns, all->capacity, all->count + 1) ||
        !grow_array(all->leaves, all->leaf_capacity, all->leaf_count + f.count)) {
        return;
    }
    f.root = root;
    if (!make_pattern(edit, id, &f, &made)) {
        all->first[shape] = HOPELESS;
        return;
    }
    made.next = all->first[shape];
    made.first_leaf = all->leaf_count;
    made.leaf_count = f.count;
    memcpy(all->leaves + all->leaf_count, f.leaves, f.count * sizeof *f.leaves);
    all->leaf_count += f.count;
    all->first[shape] = all->count;
    all->patterns[all->count++] = made;
}
