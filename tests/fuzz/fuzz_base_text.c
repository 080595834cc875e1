/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a source: places, messages and JSON of them must come out as valid UTF-8, whatever the
 * span. The first four bytes are the span. */
#include <stdint.h>
#include <stdlib.h>

#include "mouldwright/diag.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 4) {
        return 0;
    }
    mw_str text = {(const char *)data + 4, size - 4};
    mw_sources *sources = mw_sources_new();
    mw_diags diags;
    if (sources == NULL || mw_diags_start(&diags) != MW_OK) {
        abort();
    }
    uint32_t id = mw_sources_add(sources, text, text);
    require(id != MW_NONE);
    mw_span span = {id, (uint32_t)(data[0] | data[1] << 8), (uint32_t)(data[2] | data[3] << 8)};
    mw_diag *diag =
        mw_diags_error(&diags, MW_CODE_BAD_TEXT, span, "`%.*s`", (int)text.length, text.at);
    mw_diag_extra(&diags, diag, "%.*s", (int)text.length, text.at);

    mw_text out = {0};
    mw_diags_render(&diags, sources, &out);
    require(!out.failed && mw_utf8_check((mw_str){out.data, out.length}) == out.length);
    mw_text_clear(&out);
    mw_diag_json(&diags.items[0], sources, &out);
    require(!out.failed && mw_utf8_check((mw_str){out.data, out.length}) == out.length);

    mw_text_free(&out);
    mw_diags_free(&diags);
    mw_sources_free(sources);
    return 0;
}
