"""What is said when the knowledge cannot be read: the only sentences in Python, for then there are no messages."""

CANNOT_ADVISE = "The knowledge cannot be read, so there is no advice. What is wrong with it:"
GET_SEEN = (
    "If you are in pain, see a licensed clinician (a doctor or physiotherapist). If you are numb between the legs, "
    "cannot hold or pass water or stool, have weak legs, had a fall or blow to the spine, chest pain or fever: "
    "call the emergency number now."
)
REFUSED = "Not used as long as there is an error."
