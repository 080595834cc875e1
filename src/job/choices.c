/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Choices of material: fixed before anything is computed. */
#include "parts.h"

/* A material that was chosen, and where. */
typedef struct material_choice {
    const mw_material *material;
    mw_span at;
} material_choice;

/* The quoted text that an override gives for a material; false: it is no quoted text. */
static bool quoted_text(const build *in, mw_span formula, mw_str *out, mw_span *at)
{
    mw_str text = mw_str_trim(mw_sources_piece(in->job->sources, formula));
    if (text.length < 2 || text.at[0] != '"' || text.at[text.length - 1] != '"') {
        return false;
    }
    mw_str whole = mw_sources_text(in->job->sources, formula.source);
    *out = (mw_str){text.at + 1, text.length - 2};
    *at = (mw_span){formula.source, (uint32_t)(out->at - whole.at),
                    (uint32_t)(out->at + out->length - whole.at)};
    return true;
}

static mw_status check_kind(build *in, const slot *to, const mw_material *usual,
                            const material_choice *choice, mw_diags *diags)
{
    const mw_material *chosen = choice->material;
    mw_diag *diag = NULL;
    if (!mw_same_name(chosen->kind, usual->kind)) {
        diag = mw_diags_error(diags, MW_CODE_WRONG_KIND, choice->at,
                              "`%.*s` is a %.*s; `%.*s` takes a %.*s", (int)chosen->name.length,
                              chosen->name.at, (int)chosen->kind.length, chosen->kind.at,
                              (int)to->use_row->role.length, to->use_row->role.at,
                              (int)usual->kind.length, usual->kind.at);
    } else if (chosen->stock_type != usual->stock_type) {
        mw_text units[2] = {{0}, {0}};
        mw_unit_words(in->job->measure, chosen->stock_unit, &units[0]);
        mw_unit_words(in->job->measure, usual->stock_unit, &units[1]);
        diag = mw_diags_error(
            diags, MW_CODE_WRONG_KIND, choice->at, "`%.*s` is counted in %s; `%.*s` is used in %s",
            (int)chosen->name.length, chosen->name.at, mw_text_chars(&units[0]),
            (int)to->use_row->role.length, to->use_row->role.at, mw_text_chars(&units[1]));
        mw_text_free(&units[0]);
        mw_text_free(&units[1]);
    } else {
        return MW_OK;
    }
    mw_diag_other(diags, diag, usual->name_at, "the usual one");
    return MW_FAILED;
}

static mw_status resolve_one(build *into, mould *of, const slot *to, const layer *set,
                             mw_diags *diags)
{
    mw_str name;
    mw_span at = set->set ? set->set->formula : set->field->value;
    if (at.source == MW_NONE) {
        return MW_FAILED; /* it cannot be read, which has been said */
    }
    if (!quoted_text(into, at, &name, &at)) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_WRONG_KIND, at,
                                       "the name of a material in quotes is expected here");
        mw_diag_try(diags, diag, "\"%.*s\"", (int)to->use_row->material.length,
                    to->use_row->material.at);
        return MW_FAILED;
    }
    const mw_material *chosen = NULL;
    mw_status status = mw_library_material(into->job->library, name, at, &chosen, diags);
    if (status != MW_OK) {
        return status;
    }
    uint32_t use = of->kit->first_use[to->step] + to->use;
    material_choice choice = {chosen, at};
    status = check_kind(into, to, of->kit->usual_materials[use], &choice, diags);
    if (status == MW_OK) {
        of->materials[use] = chosen;
        status = globals_material(into, chosen, diags);
    }
    return status;
}

mw_status choices_resolve(build *into, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t m = 0; m < into->mould_count; m++) {
        mould *of = &into->moulds[m];
        for (uint32_t i = 0; i < of->kit->slot_count && status != MW_NO_MEMORY; i++) {
            if (of->kit->slots[i].kind == SLOT_USE_MATERIAL && of->layers[i]) {
                mw_status one = resolve_one(into, of, &of->kit->slots[i], of->layers[i], diags);
                status = one != MW_OK ? one : status;
            }
        }
        for (uint32_t use = 0; use < of->kit->use_count; use++) {
            if (stock_of(into, of->materials[use]) == MW_NONE) {
                return MW_NO_MEMORY;
            }
        }
    }
    return status;
}
