// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/text/html.h"

using namespace downball::text;

TEST_CASE("text stays text in HTML") {
    CHECK(html_escaped("<script>alert(\"1\" & '2')</script>") ==
          "&lt;script&gt;alert(&quot;1&quot; &amp; &#39;2&#39;)&lt;/script&gt;");
    CHECK(html_escaped("Zo\xC3\xAB\n\xD7\x9E") == "Zo\xC3\xAB\n\xD7\x9E");
}

TEST_CASE("what is no character is shown as one that is missing") {
    CHECK(html_escaped("a\x01"
                       "b\x7f") == "a\xEF\xBF\xBD"
                                   "b\xEF\xBF\xBD");
    CHECK(html_escaped("\xC3\xAB\xC3") == "\xC3\xAB\xEF\xBF\xBD");
    CHECK(html_escaped("\xFF<") == "\xEF\xBF\xBD&lt;");
}

TEST_CASE("base64 is that of RFC 4648, section 10") {
    CHECK(base64("").empty());
    CHECK(base64("f") == "Zg==");
    CHECK(base64("fo") == "Zm8=");
    CHECK(base64("foo") == "Zm9v");
    CHECK(base64("foob") == "Zm9vYg==");
    CHECK(base64("fooba") == "Zm9vYmE=");
    CHECK(base64("foobar") == "Zm9vYmFy");
    CHECK(base64("\xff\xfe\xfd") == "//79");
}
