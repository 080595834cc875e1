/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Overrides that narrower ones hide: nothing computes them, but they are held to the kind of their quantity all the same. */
#include "parts.h"

/* A definition that is looked at. */
typedef struct looking {
    build *in;
    const entry *set;
    mw_diags *diags;
    mw_type seen; /* the kind that it was held to last; MW_NONE: none yet */
    mw_status status;
} looking;

static mw_status check_formula(const build *in, const slot *to, mw_span formula, mw_diags *diags)
{
    mw_scope scope = in->scope;
    mw_reference usual = {.slot = in->no_cell, .count = 1, .type = to->type, .unit = to->unit};
    scope.usual = &usual;
    return mw_sheet_check(in->sheet, formula, &scope, to->type, diags);
}

static void look(void *context, uint32_t m, uint32_t at)
{
    looking *on = context;
    const mould *of = &on->in->moulds[m];
    const slot *to = &of->kit->slots[at];
    bool said = on->status != MW_OK || to->type == on->seen || to->kind == SLOT_USE_MATERIAL;
    if (!said && layers_hide(of->layers[at], layers_rank(on->set))) {
        on->seen = to->type;
        on->status = check_formula(on->in, to, on->set->formula, on->diags);
    }
}

mw_status hidden_check(build *in, const entry *set, mw_diags *diags)
{
    looking on = {in, set, diags, MW_NONE, MW_OK};
    if (set->kind == ENTRY_SET && set->part_count > 1 && !set->broken) {
        layers_reach(in, set, look, &on);
    }
    return on.status;
}

static mw_status check_fields(build *in, const mould *of, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t at = 0; at < of->kit->slot_count && status != MW_NO_MEMORY; at++) {
        for (const layer *own = of->layers[at]; own; own = own->next) {
            bool formula = own->field && own->field->head_unit == MW_NONE;
            if (formula && layers_hide(of->layers[at], own->rank)) {
                mw_status one = check_formula(in, &of->kit->slots[at], own->field->value, diags);
                status = one != MW_OK ? one : status;
            }
        }
    }
    return status;
}

mw_status hidden_check_all(build *in, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t m = 0; m < in->mould_count && status != MW_NO_MEMORY; m++) {
        mw_status one = check_fields(in, &in->moulds[m], diags);
        status = one != MW_OK ? one : status;
    }
    for (uint32_t i = 0; i < in->document.count && status != MW_NO_MEMORY; i++) {
        mw_status one = hidden_check(in, in->document.items[i], diags);
        status = one != MW_OK ? one : status;
    }
    return status;
}
