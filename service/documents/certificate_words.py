"""The standing sentences of a release certificate."""

TITLE = "Release certificate"
SUBTITLE = "Overhaul and test of a fuel injector"
DEMO = "DEMONSTRATION with invented data. Not a certificate for any real injector."
END = "End of certificate"
INSTEAD = "This certificate is issued in place of {number}, which is no longer in force."
QR_ALTERNATIVE = "QR code that opens the page where this certificate can be checked: {url}"
QR_CAPTION = "Check that this certificate is genuine and the current one:"

WITHOUT_GUARD_BAND = (
    "Gauge pins, visual findings, required answers and torques are judged as the limit sheet says, without a guard "
    "band. An ovality is a difference of two diameters, so each contribution to its U counts twice; a roundness "
    "deviation is one of two radii, judged with U × √2 of the instrument, from a roundness instrument with its own U."
)

STATEMENTS = (
    "The results relate only to the injector identified above, as it was received and as it was overhauled.",
    "This certificate states what was examined and tested, by whom, with which instruments and against which "
    "limits. It does not replace class approval, nor any survey or approval that class or the flag state asks for.",
    "It may be reproduced only in full, unless the workshop agrees in writing.",
    "It is never edited. Check under the address on the first page that it is genuine and the current one before "
    "you rely on it.",
    "The journal head is the SHA-256 of the workshop's journal as it stood before this release: with it anybody can "
    "have the workshop prove that nothing recorded until then was changed since.",
    "U beside a value is its expanded uncertainty by a budget of its own (JCGM 100, coverage 95.45 %), with its "
    "coverage factor k; the attached file certificate.json holds every contribution. U of an instrument is that of "
    "its calibration, k = 2 unless said otherwise, as the register held it on the day of use.",
    "Not proven means that the value lies nearer to a limit than the decision rule allows: not a pass.",
    "A sign that the fonts of this document do not hold is printed by its Unicode number, as [U+65E5]; the attached "
    "file certificate.json holds it as it was entered.",
)

CAUTIONS = (
    "Spray from an injector pierces skin and is a surgical emergency: keep hands clear; spray mist ignites.",
    "Depressurise fuel pipes before you open any connection, and vent before starting.",
    "Keep the protective plugs in place until the injector is fitted; fit new sealing rings at the cylinder cover.",
    "The maker's instructions, local rules, class requirements and licensed practice come first.",
)
