/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What steps use, one recipe on another. A row has two formulas but one `base`: row k below holds the
 * k-th amount and the k-th loss that were written, whichever recipes they come from. So `usual` means the right
 * one in both. */
#include "mouldwright/names.h"
#include "recipe/merge.h"

static bool has(uint32_t given, const char *key)
{
    return (given & mw_keys_bit(&mw_use_keys, key)) != 0;
}

static const mw_use_row *below(const mw_use_row *row)
{
    return row == NULL ? NULL : row->base;
}

/* Returns a row with the amount of one and the loss of another, and so on below. */
static const mw_use_row *zip(mw_load *load, const mw_use_row *amounts, const mw_use_row *losses)
{
    if (amounts == losses) {
        return amounts;
    }
    mw_use_row *row = mw_load_room(load, 1, sizeof *row);
    if (row == NULL) {
        return NULL;
    }
    *row = amounts == NULL ? *losses : *amounts;
    row->amount = amounts == NULL ? mw_nowhere() : amounts->amount;
    row->loss = losses == NULL ? mw_nowhere() : losses->loss;
    row->base = zip(load, below(amounts), below(losses));
    return row;
}

static void report_need(mw_load *load, const mw_use_row *row, const char *key)
{
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, row->role_at,
                                   "the use `%.*s` needs the key `%s`", MW_SHOW(row->role), key);
    mw_diag_try(load->diags, diag, "add `%s: ...`", key);
}

static mw_use_row new_use(mw_load *load, const mw_raw_use *raw)
{
    static const char *const needed[] = {"material", "unit", "amount"};
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        if (!has(raw->given, needed[i])) {
            report_need(load, &raw->row, needed[i]);
        }
    }
    return raw->row;
}

static mw_use_row changed_use(mw_load *load, const mw_use_row *base, const mw_raw_use *raw)
{
    mw_use_row row = *base;
    mw_keys_copy(&mw_use_keys, raw->given, raw, &row, sizeof row);
    row.role_at = raw->row.role_at;
    if (row.type != base->type) {
        mw_diags_error(load->diags, MW_CODE_WRONG_KIND, row.role_at,
                       "the unit of `%.*s` must be of the kind it has in the recipe built on",
                       MW_SHOW(row.role));
    }
    bool amount = has(raw->given, "amount");
    bool loss = has(raw->given, "loss");
    if ((amount || loss) && !has(raw->given, "source")) {
        row.source = (mw_str){"", 0};
    }
    row.base = zip(load, amount ? base : base->base, loss ? base : base->base);
    return row;
}

static void put_uses(mw_load *load, const mw_use_stack *stack, mw_names *names, mw_use_row *rows,
                     uint32_t *count)
{
    for (uint32_t i = 0; i < stack->base_count; i++) {
        rows[i] = stack->base[i];
        load->no_memory |= mw_names_add(names, rows[i].role) == MW_NONE;
    }
    *count = stack->base_count;
    for (uint32_t i = 0; i < stack->raw_count; i++) {
        const mw_raw_use *raw = &stack->raw[i];
        uint32_t at = mw_names_find(names, raw->row.role);
        if (at == MW_NONE) {
            rows[(*count)++] = new_use(load, raw);
        } else {
            rows[at] = changed_use(load, &stack->base[at], raw);
        }
    }
}

const mw_use_row *mw_uses_merge(mw_load *load, const mw_use_stack *stack, uint32_t *count)
{
    *count = 0;
    if (stack->raw_count == 0) {
        *count = stack->base_count;
        return stack->base;
    }
    size_t most = (size_t)stack->base_count + stack->raw_count;
    mw_use_row *rows = mw_load_room(load, most, sizeof *rows);
    mw_names *names = mw_names_new();
    load->no_memory |= names == NULL;
    if (rows != NULL && names != NULL) {
        put_uses(load, stack, names, rows, count);
    }
    mw_names_free(names);
    return rows;
}
