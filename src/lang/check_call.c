/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking calls: how many values, of which kinds, and what kind comes out. */
#include "check.h"

/* The call at hand. */
typedef struct calling {
    uint32_t at;
    const mw_signature *signature;
    const uint32_t *children; /* positions of the arguments */
    uint32_t count;
    uint32_t any; /* the argument that fixed the kind of `same`; MW_NONE: none yet */
    mw_type same;
} calling;

static mw_span name_span(const mw_compiler *compiler, uint32_t at)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    const size_t length = compiler->ast->parts[node->b].length;
    return (mw_span){compiler->ast->source, node->at, node->at + (uint32_t)length};
}

/* Adds "x, step" to a message. */
static void add_names(const mw_signature *signature, mw_text *text)
{
    for (uint32_t i = 0; i < signature->count; i++) {
        mw_text_adds(text, i > 0 ? ", " : "");
        mw_text_adds(text, signature->row->names[i]);
    }
    mw_text_adds(text, signature->repeated ? ", ..." : "");
}

static bool check_count(mw_compiler *compiler, uint32_t at, const mw_signature *signature)
{
    const uint32_t given = mw_check_node_of(compiler, at)->count;
    const uint32_t wanted = signature->count;
    if (given == wanted || (given > wanted && signature->repeated)) {
        return true;
    }
    mw_text *names = &compiler->pieces[0];
    mw_text_clear(names);
    add_names(signature, names);
    compiler->no_memory = compiler->no_memory || names->failed;
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_ARGUMENT_COUNT, name_span(compiler, at),
                                   "%s takes %s%u value%s, not %u", signature->row->name,
                                   signature->repeated ? "at least " : "", wanted,
                                   wanted == 1 ? "" : "s", given);
    mw_diag_try(compiler->diags, diag, "%s(%s)", signature->row->name, mw_text_chars(names));
    return false;
}

static const mw_take_row *take_of(const mw_signature *signature, uint32_t argument)
{
    const uint32_t last = signature->count - 1;
    return &signature->takes[argument < last ? argument : last];
}

static const char *name_of(const mw_signature *signature, uint32_t argument)
{
    const uint32_t last = signature->count - 1;
    return signature->row->names[argument < last ? argument : last];
}

static mw_type stated_type(mw_compiler *compiler, const mw_take_row *row)
{
    return row->take == MW_TAKE_UNIT ? mw_unit_type(compiler->measure, row->unit) : row->type;
}

static void report_argument(mw_compiler *compiler, const calling *call, uint32_t argument,
                            mw_type wanted)
{
    const uint32_t child = call->children[argument];
    const char *is = mw_check_is(compiler, child, 0);
    const char *kind = mw_check_kind(compiler, wanted, 1);
    mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND, mw_check_span(compiler, child),
                   "%s; %s of %s is %s", is, name_of(call->signature, argument),
                   call->signature->row->name, kind);
}

/* `any` and `same`: one kind for all of them. */
static void join_argument(mw_compiler *compiler, calling *call, uint32_t argument)
{
    const uint32_t child = call->children[argument];
    const mw_type type = compiler->facts[child].type;
    if (call->any == MW_NONE) {
        call->any = child;
        call->same = type;
        return;
    }
    const mw_type_fault fault = mw_type_join(compiler->measure, call->same, type, &call->same);
    if (fault != MW_TYPE_FINE) {
        mw_check_clash(compiler, &(mw_clash){fault, call->any, child, "used together"});
    }
}

static void check_argument(mw_compiler *compiler, calling *call, uint32_t argument)
{
    const mw_take_row *take = take_of(call->signature, argument);
    const uint32_t child = call->children[argument];
    if (take->list && !take->each && !compiler->facts[child].list) {
        const char *is = mw_check_is(compiler, child, 0);
        mw_diags_error(compiler->diags, MW_CODE_NOT_A_LIST, mw_check_span(compiler, child),
                       "%s; %s of %s is a list", is, name_of(call->signature, argument),
                       call->signature->row->name);
        return;
    }
    if (take->take == MW_TAKE_ANY || take->take == MW_TAKE_SAME) {
        join_argument(compiler, call, argument);
        return;
    }
    const mw_type wanted = stated_type(compiler, take);
    const mw_type_fault fault =
        mw_type_fits(compiler->measure, compiler->facts[child].type, wanted);
    if (fault == MW_TYPE_MEMORY) {
        compiler->no_memory = true;
    } else if (fault != MW_TYPE_FINE) {
        report_argument(compiler, call, argument, wanted);
    }
}

static bool is_broken(const mw_signature *signature)
{
    bool broken = signature->gives.take == MW_TAKE_BROKEN;
    for (uint32_t i = 0; i < signature->count; i++) {
        broken = broken || signature->takes[i].take == MW_TAKE_BROKEN;
    }
    return broken;
}

static void give(mw_compiler *compiler, const calling *call)
{
    mw_fact *fact = &compiler->facts[call->at];
    const mw_take_row *gives = &call->signature->gives;
    if (gives->take == MW_TAKE_TYPE || gives->take == MW_TAKE_UNIT) {
        fact->type = stated_type(compiler, gives);
        fact->unit = gives->unit;
    } else if (call->any != MW_NONE) {
        fact->type = call->same;
        fact->unit = compiler->facts[call->any].unit;
    }
}

/* Whole lists of one call arrive one after the other: only of equal length can they be told apart. */
static bool check_equal_lists(mw_compiler *compiler, const calling *call)
{
    uint32_t first = MW_NONE;
    for (uint32_t i = 0; i < call->count; i++) {
        const uint32_t child = call->children[i];
        if (!compiler->facts[child].list) {
            continue;
        }
        if (first == MW_NONE) {
            first = child;
        } else if (compiler->facts[child].length != compiler->facts[first].length) {
            mw_check_lengths(compiler, first, child);
            return false;
        }
    }
    return true;
}

/* Makes the shape where some arguments take whole lists: the others must then be single values. */
static bool check_lists(mw_compiler *compiler, const calling *call)
{
    bool whole = false;
    for (uint32_t i = 0; i < call->count; i++) {
        whole = whole || take_of(call->signature, i)->list;
    }
    if (!whole) {
        return mw_check_shape(compiler, call->at, call->count);
    }
    mw_fact *fact = &compiler->facts[call->at];
    for (uint32_t i = 0; i < call->count; i++) {
        const mw_fact *part = &compiler->facts[call->children[i]];
        fact->bad = fact->bad || part->bad;
        if (part->list && !take_of(call->signature, i)->list && !part->bad) {
            const char *piece = mw_check_piece(compiler, call->children[i], 0);
            mw_diags_error(compiler->diags, MW_CODE_IS_A_LIST,
                           mw_check_span(compiler, call->children[i]),
                           "%s is a list; %s of %s is a single value", piece,
                           name_of(call->signature, i), call->signature->row->name);
            fact->bad = true;
        }
    }
    fact->bad = fact->bad || !check_equal_lists(compiler, call);
    return !fact->bad;
}

/* Works out a call of our own functions on constants. */
static void fold_call(mw_compiler *compiler, const calling *call)
{
    double values[MW_ARGUMENTS_MAX];
    for (uint32_t i = 0; i < call->count; i++) {
        const mw_fact *part = &compiler->facts[call->children[i]];
        if (call->count > MW_ARGUMENTS_MAX || part->from != MW_FROM_CONSTANT) {
            return;
        }
        values[i] = part->value;
    }
    mw_fact *fact = &compiler->facts[call->at];
    fact->value = mw_function_apply(call->signature->row, NULL, values, call->count);
    fact->from = MW_FROM_CONSTANT;
    fact->kind = MW_BLOCK_SKIP;
}

/* A function that is called when the code runs. */
static void check_called(mw_compiler *compiler, const calling *given, bool own)
{
    calling call = *given;
    const mw_signatures *table = own ? &compiler->own : &compiler->host;
    mw_fact *fact = &compiler->facts[call.at];
    if (is_broken(call.signature)) {
        mw_diags_error(compiler->diags, MW_CODE_INTERNAL, name_span(compiler, call.at),
                       "the table of functions is wrong about %s", call.signature->row->name);
        return;
    }
    if (!check_lists(compiler, &call)) {
        return;
    }
    for (uint32_t i = 0; i < call.count; i++) {
        check_argument(compiler, &call, i);
    }
    give(compiler, &call);
    fact->operation = own ? MW_OP_CALL : MW_OP_CALL_HOST;
    fact->first = (uint32_t)(call.signature - table->items);
    mw_check_block(compiler, call.at, MW_BLOCK_CALL);
    if (own) {
        fold_call(compiler, &call);
    }
}

void mw_check_call(mw_compiler *compiler, uint32_t at)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    const mw_str name = compiler->ast->parts[node->b];
    const mw_signature *signature = mw_signatures_find(&compiler->own, name);
    const bool own = signature != NULL;
    if (!own && compiler->scope != NULL && compiler->scope->host.functions != NULL) {
        signature = mw_signatures_find(&compiler->host, name);
    }
    if (signature == NULL) {
        mw_check_unknown_function(compiler, at);
        return;
    }
    if (!check_count(compiler, at, signature)) {
        return;
    }
    if (own && signature->row->call == NULL) {
        mw_check_known(compiler, at, (mw_known)(signature - compiler->own.items));
        return;
    }
    const calling call = {.at = at,
                          .signature = signature,
                          .children = mw_check_children(compiler, at, node->count),
                          .count = node->count,
                          .any = MW_NONE};
    check_called(compiler, &call, own);
}
