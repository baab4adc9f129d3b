"""What a browser may do with a page of the site."""

POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
# The two pages that check a square run the one script of this site. It can send nothing, as no policy here has a
# connect-src, and it can make no markup of what it reads.
POLICY_WITH_SCRIPT = f"{POLICY}; script-src 'self'; require-trusted-types-for 'script'; trusted-types 'none'"
